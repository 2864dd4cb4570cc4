// SPDX-License-Identifier: MIT
#include "stats/covariance_root.h"

#include "stats/symmetric_eigen.h"

namespace evenfeed {

Eigen::MatrixXd covariance_root(const Eigen::MatrixXd& covariance) {
  const SymmetricEigen eigen = symmetric_eigen(covariance);
  return eigen.vectors * eigen.values.cwiseMax(0).cwiseSqrt().asDiagonal();
}

Eigen::MatrixXd symmetric_root(const Eigen::MatrixXd& covariance) {
  const SymmetricEigen eigen = symmetric_eigen(covariance);
  return eigen.vectors * eigen.values.cwiseMax(0).cwiseSqrt().asDiagonal() *
         eigen.vectors.transpose();
}

}  // namespace evenfeed
