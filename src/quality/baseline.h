// SPDX-License-Identifier: MIT
// The stable process that other feeds are compared with (phase I).
//
// Mis-feeds are told apart by their distance from a robust centre and scatter
// (reweighted minimum covariance determinant, quality/mcd.h) with the limits
// of Cerioli (2010, JASA 105:147); mean and covariance are then the ordinary
// ones of the feeds that remain, so that the phase II limits for a mean and a
// covariance estimated from n feeds hold (Tracy, Young and Mason 1992).
#pragma once

#include "quality/trial_table.h"

#include <limits>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct Baseline {
  bool ok = false;  ///< false: `message` says why there is none
  std::string message;
  std::vector<std::string> characteristics;
  int n = 0;  ///< feeds it rests on, mis-feeds left out
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;
  Eigen::VectorXd lag1;  ///< autocorrelation, 0 where not shown to be above 0
  /// Degrees of freedom of the t that limits of single feeds allow for
  /// (charts/heavy_tails.h); NaN: not asked.
  double tails = std::numeric_limits<double>::quiet_NaN();
  /// Indices of the characteristics in the joint charts: those whose
  /// covariance matrix is regular.
  std::vector<int> joint;
  std::vector<std::string> warnings;

  Eigen::VectorXd sd() const;
  Eigen::MatrixXd correlation() const;
};

/// Per row of the stretch: its robust squared distance and what became of it.
struct BaselineRow {
  double robust_distance2 = 0;  ///< NaN: not measured
  double limit = 0;
  bool misfeed = false;
};

struct BaselineFit {
  Baseline baseline;
  std::vector<BaselineRow> rows;  ///< one per row given
};

/// Rows `first`..`last` (inclusive) of the table; those with a value missing
/// are left out. Fails (ok = false) with fewer complete rows than
/// characteristics + 4; below 3 x characteristics + 3 no mis-feed is looked
/// for. `believed_tails`: what is believed of the degrees of freedom; NaN:
/// values are normal.
BaselineFit fit_baseline(
    const TrialTable& table,
    int first,
    int last,
    double misfeed_probability,
    double believed_tails = std::numeric_limits<double>::quiet_NaN());

}  // namespace evenfeed
