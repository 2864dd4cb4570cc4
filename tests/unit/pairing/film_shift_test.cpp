// SPDX-License-Identifier: MIT
#include "pairing/film_shift.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("one film: all of the difference is the launcher's") {
  const Eigen::MatrixXd spread = Eigen::MatrixXd::Identity(2, 2);
  const FilmShift shift = film_shift(Eigen::MatrixXd::Zero(2, 2), spread, 1);
  CHECK(shift.launcher.isIdentity());
  CHECK(shift.covariance.isZero());
}

TEST_CASE("one characteristic: precisions add") {
  // Invented: prior variance 4 (2 sd of 1), films 1: of a difference d the
  // launcher made 4/5, with variance 1 / (1/4 + 1/1).
  const FilmShift shift = film_shift(Eigen::MatrixXd::Constant(1, 1, 1),
                                     Eigen::MatrixXd::Constant(1, 1, 1),
                                     2);
  CHECK(shift.launcher(0, 0) == doctest::Approx(0.8));
  CHECK(shift.covariance(0, 0) == doctest::Approx(0.8));
}

TEST_CASE("a characteristic well known tells of one that goes with it") {
  // Invented: two with correlation 0.6, the first known, the second not at all.
  // Regression: the second moved by 0.6 of the first, with variance 1 - 0.36.
  Eigen::Matrix2d spread;
  spread << 1, 0.6, 0.6, 1;
  Eigen::Matrix2d films = Eigen::Matrix2d::Zero();
  films(1, 1) = 1e9;
  const FilmShift shift = film_shift(films, spread, 1);
  CHECK(shift.launcher(1, 0) == doctest::Approx(0.6));
  CHECK(shift.launcher(1, 1) == doctest::Approx(0).epsilon(1e-6));
  CHECK(shift.launcher(0, 0) == doctest::Approx(1));
  CHECK(shift.covariance(1, 1) == doctest::Approx(0.64));
  CHECK(shift.covariance(0, 0) == doctest::Approx(0).epsilon(1e-6));
}
