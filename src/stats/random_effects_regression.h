// SPDX-License-Identifier: MIT
// A straight model through group means that scatter more than their own errors
// say:
//   mean_i = x_i' beta + a_i + e_i,  a_i ~ N(0, between), e_i ~ N(0, v_i),
// v_i known. `between` by restricted maximum likelihood: with w_i = 1 /
// (between + v_i) it minimises
//   sum log(between + v_i) + log |X'WX| + r'Wr
// over between >= 0. The errors of beta are those of Knapp and Hartung (2003,
// Statistics in Medicine 22:2693): (X'WX)^-1 times q = r'Wr / (k - p), with
// Student's t on k - p degrees of freedom, which keep their coverage with few
// groups.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

struct RandomEffectsFit {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  bool ok = false;  ///< false: `message` says why
  std::string message;
  Eigen::VectorXd coefficients;
  /// Of the coefficients, q applied; without q it is covariance / q.
  Eigen::MatrixXd covariance;
  double between_variance = kUnknown;
  double shared_variance = 0;  ///< of sets: stats/nested_effects_regression.h
  double q = kUnknown;
  int degrees = 0;  ///< k - p
  /// Of each coefficient, where they differ; else empty.
  std::vector<double> own_degrees;
  /// -2 log likelihood (not restricted) at these variances, without
  /// constants: compares models for the same means, whatever their columns.
  double deviance = kUnknown;

  double standard_error(Eigen::Index j) const;
  double degrees_of(Eigen::Index j) const;
  /// Two-sided probability of a coefficient this far from 0, if it is 0.
  double probability(Eigen::Index j) const;
};

/// Fails (ok = false) when there are not more groups than columns, for values
/// that are not finite, variances below 0, columns that depend on each other,
/// and when everything is exactly on the model.
[[nodiscard]] RandomEffectsFit random_effects_regression(
    const Eigen::VectorXd& means,
    const Eigen::VectorXd& variances,
    const Eigen::MatrixXd& x);

}  // namespace evenfeed
