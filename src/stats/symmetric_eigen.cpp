// SPDX-License-Identifier: MIT
#include "stats/symmetric_eigen.h"

#include <cmath>
#include <limits>

#include <Eigen/Eigenvalues>

namespace evenfeed {

SymmetricEigen symmetric_eigen(const Eigen::MatrixXd& matrix) {
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix);
  return {solver.eigenvalues(), solver.eigenvectors()};
}

Eigen::MatrixXd symmetric_pseudo_inverse(const Eigen::MatrixXd& matrix) {
  const SymmetricEigen eigen = symmetric_eigen(matrix);
  const double least = static_cast<double>(matrix.rows()) *
                       std::numeric_limits<double>::epsilon() *
                       eigen.values.cwiseAbs().maxCoeff();
  const Eigen::VectorXd inverse = eigen.values.unaryExpr(
      [&](double value) { return std::abs(value) > least ? 1 / value : 0; });
  return eigen.vectors * inverse.asDiagonal() * eigen.vectors.transpose();
}

}  // namespace evenfeed
