// SPDX-License-Identifier: MIT
#include "base/error.h"

namespace evenfeed {

InputError::InputError(const std::string& place,
                       const std::string& problem,
                       const std::string& mend)
    : std::runtime_error(place + ": " + problem + ". " + mend + ".") {}

}  // namespace evenfeed
