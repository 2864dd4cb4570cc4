// SPDX-License-Identifier: MIT
// Straight lines through values over time: least squares, and Theil-Sen which
// up to 29 % of wild values cannot carry away.
#pragma once

#include <span>

namespace evenfeed {

/// y = intercept + slope * t by least squares. ok = false below 3 points, for
/// equal t, or for values that are not finite.
struct LinearTrend {
  bool ok = false;
  int n = 0;
  double slope = 0;
  double intercept = 0;
  double slope_se = 0;     ///< residual sd / sqrt(sum (t - mean t)^2)
  double residual_sd = 0;  ///< divisor n - 2
};
[[nodiscard]] LinearTrend linear_trend(std::span<const double> t,
                                       std::span<const double> y);

/// Median of the pairwise slopes (Theil 1950; Sen 1968), intercept = median y
/// - slope * median t, and the normal-approximation interval from the
/// variance of Kendall's S with ties in y (Gilbert 1987, section 16.5, ranks
/// interpolated). ok = false below 3 points, for equal t, or for values that
/// are not finite.
struct TheilSen {
  bool ok = false;
  double slope = 0;
  double intercept = 0;
  double slope_low = 0;
  double slope_high = 0;
};
[[nodiscard]] TheilSen theil_sen(std::span<const double> t,
                                 std::span<const double> y,
                                 double confidence);

/// Variance of Kendall's S for values in random order, with ties (Kendall
/// 1975).
double kendall_variance(std::span<const double> y);
/// The value at a fractional rank, from 1, of a sorted list that is not empty;
/// ranks beyond the ends give the ends.
double value_at_rank(std::span<const double> sorted, double rank);

}  // namespace evenfeed
