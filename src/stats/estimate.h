// SPDX-License-Identifier: MIT
// A mean difference by Student's t: of pairs, and of two samples.
#pragma once

#include "stats/interval.h"

#include <limits>
#include <span>

namespace evenfeed {

/// A value with its standard error; interval and p by Student's t. ok = false
/// (and numbers that are NaN) when there is none.
struct Estimate {
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
[[nodiscard]] Estimate student_estimate(double value,
                                        double se,
                                        double degrees,
                                        double confidence);

/// Mean of paired differences; not ok below two.
[[nodiscard]] Estimate paired_t(std::span<const double> differences,
                                double confidence);

/// mean(a) - mean(b) with spreads of their own (Welch 1947, Biometrika
/// 34:28); not ok below two values on a side.
[[nodiscard]] Estimate welch_t(std::span<const double> a,
                               std::span<const double> b,
                               double confidence);

}  // namespace evenfeed
