// SPDX-License-Identifier: MIT
// Which program wrote a file. The number itself stands in CMakeLists.txt.
#pragma once

#include <string_view>

namespace evenfeed {

/// "0.3.0"
std::string_view program_version();

}  // namespace evenfeed
