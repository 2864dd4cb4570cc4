// SPDX-License-Identifier: MIT
// The columns of the trend's model: one per level, the temperature, then what
// is asked for; and how much each session and set-up counts.
#pragma once

#include "stats/random_effects_regression.h"
#include "wear/session_trend.h"

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct TrendModel {
  Eigen::VectorXd y;
  Eigen::VectorXd v;
  Eigen::MatrixXd levels;  ///< and the temperature, if it counts
  bool with_temperature = false;
  std::vector<int> level_of;
  std::vector<int> setup_of;  ///< empty: none is shared
  std::vector<bool> stranger;

  /// `weighed_down`: sessions whose distance counts as their own error.
  TrendModel(const std::vector<TrendPoint>& points,
             const std::vector<int>& weighed_down);

  Eigen::MatrixXd with(const std::vector<Eigen::VectorXd>& columns) const;
  RandomEffectsFit fit(const std::vector<Eigen::VectorXd>& columns) const;

  /// Sessions of one calibration were not always left as they were set up.
  /// Where set-ups are no likelier to matter than chance makes them look in a
  /// tenth of launchers (2 log likelihood against a variance of 0: half of
  /// chi-squared with one degree of freedom), the sessions count by themselves:
  /// they tell more so.
  void doubt_setups(const Eigen::VectorXd& feeds);
};

}  // namespace evenfeed
