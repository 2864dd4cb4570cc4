// SPDX-License-Identifier: MIT
#include "stats/covariance.h"

#include <cmath>
#include <stdexcept>

#include <Eigen/LU>
#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("mean, covariance and distance by hand") {
  Eigen::MatrixXd rows(4, 2);
  rows << 1, 2, 3, 6, 5, 4, 7, 8;
  const MeanCovariance fit = mean_covariance(rows);
  CHECK(fit.n == 4);
  CHECK(fit.mean(0) == 4);
  CHECK(fit.mean(1) == 5);
  CHECK(fit.covariance(0, 0) == doctest::Approx(20.0 / 3));
  CHECK(fit.covariance(0, 1) == doctest::Approx(16.0 / 3));
  const Mahalanobis metric(fit.mean, fit.covariance);
  REQUIRE(metric.regular());
  const Eigen::Vector2d x(1, 2);
  const Eigen::VectorXd d = x - fit.mean;
  CHECK(metric.squared(x) ==
        doctest::Approx(d.dot(fit.covariance.inverse() * d)));
  CHECK(metric.log_determinant() ==
        doctest::Approx(std::log(fit.covariance.determinant())));
}

TEST_CASE("singular covariances are noticed, not divided by") {
  Eigen::MatrixXd rows(5, 3);
  rows << 1, 2, 1, 2, 4, 5, 3, 6, 2, 4, 8, 1, 5, 10, 3;  // second = 2 x first
  const MeanCovariance fit = mean_covariance(rows);
  const Mahalanobis metric(fit.mean, fit.covariance);
  CHECK_FALSE(metric.regular());
  CHECK(std::isinf(metric.squared(fit.mean)));
  CHECK(regular_columns(fit.covariance) == std::vector<int>{0, 2});
  CHECK(regular_columns(Eigen::MatrixXd::Zero(2, 2)).empty());
  CHECK(std::isnan(mean_covariance(rows, {0}).covariance(0, 0)));
  CHECK_THROWS_AS(mean_covariance(rows, {}), std::logic_error);
}
