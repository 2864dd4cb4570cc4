// SPDX-License-Identifier: MIT
// What a value is that is not known.
#pragma once

#include <limits>

namespace evenfeed {

inline constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

}  // namespace evenfeed
