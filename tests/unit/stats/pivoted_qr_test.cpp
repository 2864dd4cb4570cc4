// SPDX-License-Identifier: MIT
#include "stats/pivoted_qr.h"

#include "stats/symmetric_eigen.h"

#include <Eigen/Core>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// The third column is the sum of the others but for `apart`.
Eigen::MatrixXd nearly_dependent(double apart) {
  Eigen::MatrixXd a(4, 3);
  a << 1, 0, 1, 0, 1, 1, 1, 1, 2, 1, 2, 3 + apart;
  return a;
}

}  // namespace

TEST_CASE("a line through points, least squares by hand") {
  Eigen::MatrixXd a(3, 2);
  a << 1, 0, 1, 1, 1, 2;
  const PivotedSolution line = solve_pivoted(a, Eigen::Vector3d(1, 2, 6));
  CHECK(line.rank == 2);
  CHECK(line.x(0) == doctest::Approx(0.5));
  CHECK(line.x(1) == doctest::Approx(2.5));
}

TEST_CASE("what depends is counted once, to the threshold that is said") {
  CHECK(rank_of(nearly_dependent(0)) == 2);
  CHECK(rank_of(nearly_dependent(1e-6)) == 3);
  CHECK(rank_of(nearly_dependent(1e-6), 1e-3) == 2);
  CHECK(solve_pivoted(nearly_dependent(1e-6), Eigen::Vector4d::Ones(), 1e-3)
            .rank == 2);
  CHECK(rank_of(Eigen::MatrixXd::Zero(3, 2)) == 0);
}

TEST_CASE("a pseudo-inverse inverts what can be, and leaves the rest 0") {
  Eigen::MatrixXd regular(2, 2);
  regular << 2, 1, 1, 3;
  CHECK((symmetric_pseudo_inverse(regular) * regular)
            .isApprox(Eigen::MatrixXd::Identity(2, 2), 1e-12));

  const Eigen::MatrixXd flat = Eigen::MatrixXd::Constant(2, 2, 3);
  CHECK(symmetric_pseudo_inverse(flat).isApprox(
      Eigen::MatrixXd::Constant(2, 2, 1.0 / 12), 1e-12));
  CHECK(symmetric_pseudo_inverse(Eigen::MatrixXd::Zero(2, 2)).isZero(0));
}
