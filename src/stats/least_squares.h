// SPDX-License-Identifier: MIT
// Linear model by ordinary least squares: y = X b + e.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

struct LinearModel {
  bool ok = false;  ///< false: too few rows, or columns that are not free
  Eigen::VectorXd coefficients;
  /// sigma^2 (X'X)^-1, or the sandwich for a spread that differs from row to
  /// row.
  Eigen::MatrixXd covariance;
  double residual_sd = 0;
  double degrees = 0;  ///< rows - columns
};

enum class ResidualSpread {
  kSame,     ///< sigma^2 (X'X)^-1
  kDiffers,  ///< HC3 (MacKinnon and White 1985, J Econometrics 29:305)
};

/// Needs more rows than columns and finite values; else ok = false. A column
/// that the others explain to 1e-9 makes ok = false too.
[[nodiscard]] LinearModel fit_linear_model(
    const Eigen::MatrixXd& x,
    const Eigen::VectorXd& y,
    ResidualSpread spread = ResidualSpread::kSame);

}  // namespace evenfeed
