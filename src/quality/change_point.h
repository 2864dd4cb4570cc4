// SPDX-License-Identifier: MIT
// When did the mean change? The maximum-likelihood estimate after a signal
// (Samuel, Pignatiello and Calvin 1998, Quality Engineering 10:521; for
// vectors Nedumaran, Pignatiello and Calvin 2000): with a known mean before
// the change, the last feed before it is the t that maximises
//   D(t) = | mean of the standardised deviations after t |^2
//          / (1 / (T - t) + 1 / n),
// where 1 / n is the error of a mean estimated from a baseline of n feeds: it
// keeps a slightly wrong baseline from passing for a change long ago.
// The interval holds every t with max D - D(t) <= 2 x, where x is the
// quantile of the log likelihood ratio of a change point, whose distribution
// is (1 - e^-x)^2 in the limit of small changes (Siegmund 1988, Int. Stat.
// Rev. 56:31); for large changes it covers more.
#pragma once

#include <limits>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct ChangePoint {
  bool ok = false;         ///< false: no deviations
  int last_before = 0;     ///< how many of the values come before the change
  int interval_first = 0;  ///< of last_before
  int interval_last = 0;
  double statistic = 0;   ///< D at its maximum
  Eigen::VectorXd shift;  ///< mean deviation after the change
};

/// `deviations`: one standardised vector per value, oldest first, mean 0 and
/// unit covariance before the change. A vector that is not finite counts as
/// no evidence either way (it is left out).
ChangePoint find_change(
    const std::vector<Eigen::VectorXd>& deviations,
    double confidence = 0.9,
    double baseline_n = std::numeric_limits<double>::infinity());

}  // namespace evenfeed
