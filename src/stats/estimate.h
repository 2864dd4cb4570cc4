// SPDX-License-Identifier: MIT
// A mean difference of pairs by Student's t.
#pragma once

#include "stats/interval.h"

#include <limits>
#include <span>

namespace evenfeed {

/// A value with its standard error; interval and p by Student's t. ok = false
/// (and numbers that are NaN) when there is none.
struct IntervalEstimate {
  bool ok = false;
  double value = std::numeric_limits<double>::quiet_NaN();
  double se = std::numeric_limits<double>::quiet_NaN();
  double degrees = std::numeric_limits<double>::quiet_NaN();
  Interval interval;
  double p = std::numeric_limits<double>::quiet_NaN();  ///< of no difference
};

/// From a value, its standard error and degrees of freedom. A standard error
/// of 0 gives p = 0, or 1 for the value 0. Not ok unless all are finite and
/// degrees > 0.
[[nodiscard]] IntervalEstimate student_estimate(double value,
                                                double se,
                                                double degrees,
                                                double confidence);

/// Mean of paired differences; not ok below two.
[[nodiscard]] IntervalEstimate paired_t(std::span<const double> differences,
                                        double confidence);

}  // namespace evenfeed
