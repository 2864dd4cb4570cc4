// SPDX-License-Identifier: MIT
// Eigenvalues and eigenvectors of a symmetric matrix, compiled once: of every
// size by itself Eigen's solver takes the compiler ten seconds and more.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

struct SymmetricEigen {
  Eigen::VectorXd values;   ///< rising
  Eigen::MatrixXd vectors;  ///< a column each, of length 1
};

/// Reads the lower triangle of `matrix`, which must be square and finite.
[[nodiscard]] SymmetricEigen symmetric_eigen(const Eigen::MatrixXd& matrix);

/// Moore and Penrose's inverse of a symmetric matrix: eigenvalues that rounding
/// may have made stay 0.
[[nodiscard]] Eigen::MatrixXd symmetric_pseudo_inverse(
    const Eigen::MatrixXd& matrix);

}  // namespace evenfeed
