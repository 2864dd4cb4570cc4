// SPDX-License-Identifier: MIT
#include "stats/symmetric_eigen.h"

#include <Eigen/Eigenvalues>

namespace evenfeed {

SymmetricEigen symmetric_eigen(const Eigen::MatrixXd& matrix) {
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix);
  return {solver.eigenvalues(), solver.eigenvectors()};
}

}  // namespace evenfeed
