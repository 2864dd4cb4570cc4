// SPDX-License-Identifier: MIT
// Least squares and rank by Householder's QR with the longest column first
// (Golub and Van Loan, Matrix Computations, 5.4.2), compiled once.
#pragma once

#include <optional>

#include <Eigen/Core>

namespace evenfeed {

struct PivotedSolution {
  Eigen::Index rank = 0;
  Eigen::VectorXd x;  ///< makes |a x - b| least
};

/// Pivots below `threshold` of the greatest count as 0; when it is not said,
/// those that rounding may have made. `b` must have as many rows as `a`.
[[nodiscard]] PivotedSolution solve_pivoted(
    const Eigen::MatrixXd& a,
    const Eigen::VectorXd& b,
    std::optional<double> threshold = {});

/// A column of x for each of b, with the usual threshold.
[[nodiscard]] Eigen::MatrixXd solve_pivoted_columns(const Eigen::MatrixXd& a,
                                                    const Eigen::MatrixXd& b);

[[nodiscard]] Eigen::Index rank_of(const Eigen::MatrixXd& a,
                                   std::optional<double> threshold = {});

}  // namespace evenfeed
