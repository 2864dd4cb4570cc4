// SPDX-License-Identifier: MIT
#include "base/version.h"

namespace evenfeed {

std::string_view program_version() { return EVENFEED_VERSION; }

}  // namespace evenfeed
