// SPDX-License-Identifier: MIT
#include "pairing/films_apart.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const std::vector<std::string> kColumns{"x_mm", "speed_in_mps"};

SharedUncertainty film(std::vector<SharedCause> causes) {
  return {{{"x_mm", 5}, {"speed_in_mps", 0.05}}, std::move(causes)};
}

SharedCause drag(double x, double speed) {
  return {"drag", "", 0.5, 0.05, 0, {{"x_mm", x}, {"speed_in_mps", speed}}};
}

}  // namespace

TEST_CASE("films that tell no causes err each on its own") {
  const Eigen::MatrixXd apart = films_apart(film({}), film({}), kColumns);
  CHECK(apart(0, 0) == doctest::Approx(50));
  CHECK(apart(1, 1) == doctest::Approx(0.005));
  CHECK(apart(0, 1) == 0);
  CHECK(films_apart({}, {}, kColumns).isZero(0));
  // One of the two: as that of an earlier version beside a new one.
  const Eigen::MatrixXd one =
      films_apart(film({drag(3, 0.04)}), film({}), kColumns);
  CHECK(one(0, 0) == doctest::Approx(9 + 25));
  CHECK(one(0, 1) == doctest::Approx(3 * 0.04));
}

TEST_CASE("what both films err alike does not keep them apart") {
  // Invented: 5 mm and 0.05 m/s of drag in one, 4 and 0.05 in the other.
  const Eigen::MatrixXd apart =
      films_apart(film({drag(5, 0.05)}), film({drag(4, 0.05)}), kColumns);
  CHECK(apart(0, 0) == doctest::Approx(1));
  CHECK(apart(1, 1) == doctest::Approx(0));
  CHECK(apart(0, 1) == doctest::Approx(0));
}

TEST_CASE("another ball, another belief: another error") {
  const SharedUncertainty a = film({drag(3, 0)});
  const auto variance = [&](const SharedCause& other) {
    return films_apart(a, film({other}), kColumns)(0, 0);
  };
  SharedCause one = drag(4, 0);
  CHECK(variance(one) == doctest::Approx(1));
  one.of = "balls B";
  CHECK(variance(one) == doctest::Approx(25));
  one = drag(4, 0);
  one.believed = 0.45;
  CHECK(variance(one) == doctest::Approx(25));
  one = drag(4, 0);
  one.sd = 0.02;
  CHECK(variance(one) == doctest::Approx(25));
  one = drag(4, 0);
  one.name = "restitution";
  CHECK(variance(one) == doctest::Approx(25));
}

TEST_CASE("a cause may differ from film to film as it does between feeds") {
  // A tenth of the belief's sd: a hundredth of what that moves the feeds by.
  SharedCause spins = drag(10, 0);
  spins.spread = 0.005;
  const Eigen::MatrixXd apart =
      films_apart(film({spins}), film({spins}), kColumns);
  CHECK(apart(0, 0) == doctest::Approx(0.01 * 100));
}
