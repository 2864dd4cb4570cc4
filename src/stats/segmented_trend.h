// SPDX-License-Identifier: MIT
// Is there a trend within stretches whose levels may differ (a new wheel, a
// cleaned one)? Only values of the same stretch are compared.
//
// Mann-Kendall by stretch: S = sum over stretches of sum over pairs of
// sign(y_j - y_i), var(S) = sum of the variances with ties in y (Hirsch, Slack
// and Smith 1982, Water Resources Research 18:107, with stretches in the place
// of their seasons); with one stretch it is Mann (1945) and Kendall (1975). z
// has the continuity correction. For up to 10 values in one stretch without
// ties the probability is exact, by counting permutations.
//
// Theil-Sen by stretch: median of the slopes of all pairs of one stretch, with
// Gilbert's (1987, section 17.4) interval from var(S).
#pragma once

#include <limits>
#include <span>
#include <vector>

namespace evenfeed {

struct SegmentedTrend {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  bool ok = false;
  int pairs = 0;  ///< with different t
  double s = 0;
  double variance = 0;
  double z = 0;
  double probability = 1;  ///< two-sided
  double slope = kUnknown;
  double slope_low = kUnknown;
  double slope_high = kUnknown;
};

/// `segment` names each value's stretch; empty: all are of one. Above 400 000
/// pairs the slopes are those of an even choice of pairs; S counts them all.
/// ok = false for fewer than three pairs of one stretch, when all t of every
/// stretch are equal, and for values that are not finite. Equal t in a stretch
/// are not compared.
[[nodiscard]] SegmentedTrend segmented_trend(std::span<const double> t,
                                             std::span<const double> y,
                                             std::span<const int> segment,
                                             double confidence);

/// P(S >= s) for n values in random order, no ties: inversions counted exactly
/// (Knuth, The Art of Computer Programming 3, 5.1.1). 2 <= n <= 30.
double kendall_tail(int n, int s);

}  // namespace evenfeed
