// SPDX-License-Identifier: MIT
#include "report/ellipse.h"

#include "base/error.h"
#include "base/random.h"

#include <cmath>
#include <limits>
#include <numbers>

#include <Eigen/Cholesky>
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

Eigen::Matrix2d covariance(double a, double b, double c) {
  Eigen::Matrix2d s;
  s << a, b, b, c;
  return s;
}

}  // namespace

TEST_CASE("chi-square with two degrees of freedom") {
  // Any table of chi-square: 5.991 at 0.95, 9.210 at 0.99, 1.386 at 0.5.
  CHECK(chi2_two_quantile(0.95) == doctest::Approx(5.99146).epsilon(1e-5));
  CHECK(chi2_two_quantile(0.99) == doctest::Approx(9.21034).epsilon(1e-5));
  CHECK(chi2_two_quantile(0.50) == doctest::Approx(1.38629).epsilon(1e-5));
  CHECK_THROWS_AS(chi2_two_quantile(1.0), UsageError);
}

TEST_CASE("an estimated process needs a wider ellipse") {
  // F(0.95; 2, 18) = 3.5546 and F(0.95; 2, 10) = 4.1028: any table of F.
  CHECK(prediction_factor(0.95, 20) ==
        doctest::Approx(2.0 * 19 * 21 / (20 * 18) * 3.5546).epsilon(1e-4));
  CHECK(prediction_factor(0.95, 12) ==
        doctest::Approx(2.0 * 11 * 13 / (12 * 10) * 4.1028).epsilon(1e-4));
  CHECK(prediction_factor(0.95, 10'000'000) ==
        doctest::Approx(5.99146).epsilon(1e-5));
  CHECK_THROWS_AS(prediction_factor(0.95, 3), std::logic_error);
}

TEST_CASE("axes and turn of a covariance") {
  const double k2 = chi2_two_quantile(0.95);
  const auto straight = covariance_ellipse({1, 2}, covariance(9, 0, 4), k2);
  REQUIRE(straight);
  CHECK(straight->semi_major == doctest::Approx(3 * 2.44775).epsilon(1e-5));
  CHECK(straight->semi_minor == doctest::Approx(2 * 2.44775).epsilon(1e-5));
  CHECK(straight->angle_rad == doctest::Approx(0));
  CHECK(straight->centre == Eigen::Vector2d(1, 2));

  // Eigenvalues of [[5 3] [3 5]] are 8 and 2, the larger along the diagonal.
  const auto turned = covariance_ellipse({0, 0}, covariance(5, 3, 5), 1);
  REQUIRE(turned);
  CHECK(turned->semi_major == doctest::Approx(std::sqrt(8.0)));
  CHECK(turned->semi_minor == doctest::Approx(std::sqrt(2.0)));
  CHECK(turned->angle_rad == doctest::Approx(std::numbers::pi / 4));

  const auto upright = covariance_ellipse({0, 0}, covariance(1, 0, 4), 1);
  REQUIRE(upright);
  CHECK(upright->angle_rad == doctest::Approx(std::numbers::pi / 2));
}

TEST_CASE("what is no covariance gives no ellipse") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(covariance_ellipse({0, 0}, covariance(nan, 0, 1), 1));
  CHECK_FALSE(covariance_ellipse({nan, 0}, covariance(1, 0, 1), 1));
  CHECK_FALSE(covariance_ellipse({0, 0}, covariance(-1, 0, 1), 1));
  CHECK_FALSE(covariance_ellipse({0, 0}, covariance(1, 2, 1), 1));
  CHECK_FALSE(covariance_ellipse({0, 0}, covariance(1, 0, 1), 0));
  const auto flat = covariance_ellipse({0, 0}, covariance(4, 2, 1), 1);
  REQUIRE(flat);
  CHECK(flat->semi_minor == doctest::Approx(0).epsilon(1e-6));
}

TEST_CASE("the ellipse holds the share it says") {
  const Eigen::Matrix2d s = covariance(30 * 30, 0.6 * 30 * 8, 8 * 8);
  const auto ellipse = covariance_ellipse({0, 0}, s, chi2_two_quantile(0.95));
  REQUIRE(ellipse);
  const Eigen::Matrix2d root = s.llt().matrixL();
  RandomEngine engine = derived_engine(1, "ellipse share");
  std::normal_distribution<double> normal;
  const double c = std::cos(ellipse->angle_rad);
  const double d = std::sin(ellipse->angle_rad);
  constexpr int kDraws = 20000;
  int inside = 0;
  for (int i = 0; i < kDraws; ++i) {
    const Eigen::Vector2d p =
        root * Eigen::Vector2d(normal(engine), normal(engine));
    const double along = (c * p.x() + d * p.y()) / ellipse->semi_major;
    const double across = (-d * p.x() + c * p.y()) / ellipse->semi_minor;
    inside += along * along + across * across <= 1 ? 1 : 0;
  }
  // Four standard errors of a share of 0.95 from 20000 draws.
  CHECK(std::abs(inside / double(kDraws) - 0.95) < 4 * 0.00154);
}

}  // namespace evenfeed
