// SPDX-License-Identifier: MIT
// Multivariate EWMA (Lowry, Woodall, Champion and Rigdon 1992, Technometrics
// 34:46): z_i = lambda (x_i - mean) + (1 - lambda) z_{i-1}, z_0 = 0, and the
// chart shows z_i' V_i^-1 z_i with
//   V_i = lambda / (2 - lambda) (1 - (1 - lambda)^2i) g covariance;
// growth and g as in charts/ewma.h. That mean and covariance were estimated is
// the limit's affair (guaranteed_joint.h).
#pragma once

#include <limits>

#include <Eigen/Core>

namespace evenfeed {

struct MewmaDesign {
  double lambda = 0.1;  ///< 0 < lambda <= 1
  double limit = 12;    ///< h; see mewma_run_length.h and guaranteed_joint.h
  double autocorrelation = 0;  ///< -1 < phi < 1, of all components alike
  bool growing_limits = true;  ///< false: V of an endless series
  void check() const;
};

struct MewmaPoint {
  double value = std::numeric_limits<double>::quiet_NaN();
  double limit = std::numeric_limits<double>::quiet_NaN();
  bool signal = false;
};

class MewmaChart {
 public:
  /// `covariance` must be regular.
  MewmaChart(Eigen::VectorXd mean,
             const Eigen::MatrixXd& covariance,
             const MewmaDesign& design);
  /// Components that are not finite are replaced by what the others lead one
  /// to expect (their conditional mean). With none known the statistic stays,
  /// and the point repeats the last one without a signal.
  MewmaPoint add(const Eigen::VectorXd& x);
  const MewmaPoint& last() const { return last_; }
  /// The smoothed deviation from the mean.
  const Eigen::VectorXd& deviation() const { return z_; }
  double limit() const { return design_.limit; }

 private:
  Eigen::VectorXd mean_;
  Eigen::MatrixXd covariance_;
  MewmaDesign design_;
  double decay_ = 1;
  Eigen::VectorXd z_;
  MewmaPoint last_;
};

/// x with its unknown components set to their mean given the known ones.
Eigen::VectorXd fill_expected(const Eigen::VectorXd& x,
                              const Eigen::VectorXd& mean,
                              const Eigen::MatrixXd& covariance);

}  // namespace evenfeed
