// SPDX-License-Identifier: MIT
// Singular values and right singular vectors by Jacobi's rotations, which keep
// small values accurate (Demmel and Veselic 1992), compiled once.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

struct SingularValues {
  Eigen::VectorXd values;  ///< falling
  Eigen::MatrixXd right;   ///< all right vectors, a column each
};

[[nodiscard]] SingularValues singular_values(const Eigen::MatrixXd& matrix);

/// R of matrix = Q R, square: the same singular values and right vectors from
/// as few rows as columns. Needs as many rows as columns, or more.
[[nodiscard]] Eigen::MatrixXd upper_triangle(const Eigen::MatrixXd& matrix);

}  // namespace evenfeed
