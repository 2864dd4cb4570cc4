// SPDX-License-Identifier: MIT
#include "stats/singular_values.h"

#include <Eigen/QR>
#include <Eigen/SVD>

namespace evenfeed {

SingularValues singular_values(const Eigen::MatrixXd& matrix) {
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(matrix, Eigen::ComputeFullV);
  return {svd.singularValues(), svd.matrixV()};
}

Eigen::MatrixXd upper_triangle(const Eigen::MatrixXd& matrix) {
  return matrix.householderQr()
      .matrixQR()
      .topRows(matrix.cols())
      .triangularView<Eigen::Upper>()
      .toDenseMatrix();
}

}  // namespace evenfeed
