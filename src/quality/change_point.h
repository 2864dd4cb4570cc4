// SPDX-License-Identifier: MIT
// When did the mean change? The maximum-likelihood estimate after a signal
// (Samuel, Pignatiello and Calvin 1998, Quality Engineering 10:521; for
// vectors Nedumaran, Pignatiello and Calvin 2000): with a known mean before
// the change, the last feed before it is the t that maximises
//   D(t) = (T - t) | mean of the standardised deviations after t |^2.
// The interval holds every t with max D - D(t) <= 2 x, where x is the
// quantile of the log likelihood ratio of a change point, whose distribution
// is (1 - e^-x)^2 in the limit of small changes (Siegmund 1988, Int. Stat.
// Rev. 56:31); for large changes it covers more.
#pragma once

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
ChangePoint find_change(const std::vector<Eigen::VectorXd>& deviations,
                        double confidence = 0.9);

}  // namespace evenfeed
