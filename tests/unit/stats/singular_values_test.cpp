// SPDX-License-Identifier: MIT
#include "stats/singular_values.h"

#include "stats/pivoted_qr.h"

#include <Eigen/Core>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Its columns are orthogonal, of lengths 3, 5 and 0.
Eigen::MatrixXd tall() {
  Eigen::MatrixXd a(4, 3);
  a << 3, 0, 0, 0, 3, 0, 0, 0, 0, 0, 4, 0;
  return a;
}

}  // namespace

TEST_CASE("singular values fall, with all right vectors") {
  const auto [values, right] = singular_values(tall());
  CHECK(values.isApprox(Eigen::Vector3d(5, 3, 0), 1e-12));
  CHECK((right.transpose() * right)
            .isApprox(Eigen::MatrixXd::Identity(3, 3), 1e-12));
  CHECK((tall() * right.col(2)).norm() < 1e-12);
  CHECK((tall() * right.col(0)).norm() == doctest::Approx(5));
}

TEST_CASE("the triangle of a tall matrix has its singular values") {
  const Eigen::MatrixXd triangle = upper_triangle(tall());
  CHECK(triangle.rows() == 3);
  CHECK(triangle.isUpperTriangular());
  CHECK(singular_values(triangle).values.isApprox(
      singular_values(tall()).values, 1e-12));
}

TEST_CASE("columns are solved for one by one") {
  Eigen::MatrixXd a(3, 2);
  a << 1, 0, 1, 1, 1, 2;
  Eigen::MatrixXd b(3, 2);
  b << 1, 2, 2, 0, 6, 4;
  const Eigen::MatrixXd both = solve_pivoted_columns(a, b);
  for (int k = 0; k < 2; ++k) {
    CHECK(both.col(k).isApprox(solve_pivoted(a, b.col(k)).x, 1e-12));
  }
}
