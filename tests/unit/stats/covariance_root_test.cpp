// SPDX-License-Identifier: MIT
#include "stats/covariance_root.h"

#include "stats/symmetric_eigen.h"

#include <Eigen/Core>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Rank 2, of 4 values: the other two directions have no variance at all.
Eigen::MatrixXd flat_covariance() {
  Eigen::MatrixXd factors(4, 2);
  factors << 2, 0, 1, 3, -1, 0.5, 0, 1;
  return factors * factors.transpose();
}

}  // namespace

TEST_CASE("eigenvalues rise and vectors are of length 1") {
  Eigen::MatrixXd matrix(2, 2);
  matrix << 2, 1, 1, 2;  // 1 along (1, -1), 3 along (1, 1)
  const SymmetricEigen eigen = symmetric_eigen(matrix);
  CHECK(eigen.values(0) == doctest::Approx(1));
  CHECK(eigen.values(1) == doctest::Approx(3));
  CHECK(eigen.vectors.colwise().norm().isApproxToConstant(1));
  CHECK((matrix * eigen.vectors)
            .isApprox(eigen.vectors * eigen.values.asDiagonal()));
}

TEST_CASE("only the lower triangle is read") {
  Eigen::MatrixXd matrix = flat_covariance();
  const SymmetricEigen whole = symmetric_eigen(matrix);
  matrix.triangularView<Eigen::StrictlyUpper>().setConstant(99);
  CHECK(symmetric_eigen(matrix).values == whole.values);
}

TEST_CASE("a root squared is the covariance, a singular one's too") {
  const Eigen::MatrixXd covariance = flat_covariance();
  const Eigen::MatrixXd root = covariance_root(covariance);
  CHECK(root.allFinite());
  CHECK((root * root.transpose()).isApprox(covariance, 1e-12));
}

TEST_CASE("the symmetric root is symmetric, and a diagonal's is its sds") {
  const Eigen::MatrixXd covariance = flat_covariance();
  const Eigen::MatrixXd root = symmetric_root(covariance);
  CHECK(root.isApprox(root.transpose(), 1e-12));
  CHECK((root * root).isApprox(covariance, 1e-12));

  const Eigen::Vector3d sd(3, 0, 0.5);
  CHECK(symmetric_root(sd.cwiseAbs2().asDiagonal())
            .isApprox(Eigen::MatrixXd(sd.asDiagonal()), 1e-12));
}

TEST_CASE("what rounding made negative counts as nothing") {
  const Eigen::Vector2d variances(4, -1e-18);
  const Eigen::MatrixXd covariance = variances.asDiagonal();
  CHECK(covariance_root(covariance).allFinite());
  CHECK(symmetric_root(covariance).allFinite());
}
