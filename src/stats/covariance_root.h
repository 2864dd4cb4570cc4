// SPDX-License-Identifier: MIT
// A root of a covariance that may be singular.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

/// R with R R^T = covariance, which must be symmetric; what rounding made
/// negative counts as 0.
[[nodiscard]] Eigen::MatrixXd covariance_root(
    const Eigen::MatrixXd& covariance);

/// The symmetric root, which changes as little as the covariance does: without
/// the choice of sign and order that the other has.
[[nodiscard]] Eigen::MatrixXd symmetric_root(const Eigen::MatrixXd& covariance);

}  // namespace evenfeed
