// SPDX-License-Identifier: MIT
#pragma once

#include <limits>

namespace evenfeed {

/// Both ends NaN when there is none.
struct Interval {
  double low = std::numeric_limits<double>::quiet_NaN();
  double high = std::numeric_limits<double>::quiet_NaN();

  bool contains(double x) const { return low <= x && x <= high; }
};

}  // namespace evenfeed
