// SPDX-License-Identifier: MIT
#include "stats/estimate.h"

#include "stats/least_squares.h"
#include "stats/multiplicity.h"
#include "support/statistics_data.h"

#include <cmath>
#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

doctest::Approx near(double x) { return doctest::Approx(x).epsilon(1e-7); }

// R: sleep, extra hours of drug 1 and 2.
const std::vector<double> kDrug1{
    0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
const std::vector<double> kDrug2{
    1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};

}  // namespace

TEST_CASE("Student's sleep data, paired") {
  std::vector<double> d;
  for (std::size_t i = 0; i < kDrug1.size(); ++i) {
    d.push_back(kDrug1[i] - kDrug2[i]);
  }
  // R: t.test(extra ~ group, data = sleep, paired = TRUE)
  const IntervalEstimate paired = paired_t(d, 0.95);
  REQUIRE(paired.ok);
  CHECK(paired.value == near(-1.58));
  CHECK(paired.interval.low == near(-2.4598858));
  CHECK(paired.interval.high == near(-0.7001142));
  CHECK(paired.p == doctest::Approx(0.00283289).epsilon(1e-5));
}

TEST_CASE("estimates of too little") {
  const std::vector<double> one{1};
  CHECK_FALSE(paired_t(one, 0.95).ok);
  CHECK_FALSE(paired_t({}, 0.95).ok);
  const std::vector<double> bad{1, NAN, 2};
  CHECK_FALSE(paired_t(bad, 0.95).ok);
  const std::vector<double> constant{3, 3, 3};
  CHECK(paired_t(constant, 0.95).p == 0);
  CHECK(student_estimate(0, 0, 5, 0.95).p == 1);
  CHECK_FALSE(student_estimate(1, 1, 0, 0.95).ok);
  CHECK_THROWS_AS(student_estimate(1, 1, 3, 2), std::logic_error);
}

TEST_CASE("least squares: the stopping distances of R's cars") {
  // R: summary(lm(dist ~ speed, cars)); sandwich::vcovHC type HC3 for the
  // second, here against a case worked out by leaving each row out.
  const int n = 50;
  Eigen::MatrixXd x(n, 2);
  Eigen::VectorXd y(n);
  const int speed[] = {4,  4,  7,  7,  8,  9,  10, 10, 10, 11, 11, 12, 12,
                       12, 12, 13, 13, 13, 13, 14, 14, 14, 14, 15, 15, 15,
                       16, 16, 17, 17, 17, 18, 18, 18, 18, 19, 19, 19, 20,
                       20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25};
  const int dist[] = {2,  10, 4,  22, 16, 10, 18, 26, 34, 17,  28, 14, 20,
                      24, 28, 26, 34, 34, 46, 26, 36, 60, 80,  20, 26, 54,
                      32, 40, 32, 40, 50, 42, 56, 76, 84, 36,  46, 68, 32,
                      48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85};
  for (int i = 0; i < n; ++i) {
    x.row(i) << 1, speed[i];
    y(i) = dist[i];
  }
  const LinearModel model = fit_linear_model(x, y);
  REQUIRE(model.ok);
  CHECK(model.coefficients(0) == near(-17.57909489051));
  CHECK(model.coefficients(1) == near(3.93240875912));
  CHECK(model.residual_sd == near(15.3795867488));
  CHECK(std::sqrt(model.covariance(1, 1)) == near(0.4155128));

  // HC3 is the spread of the coefficients over fits without one row each,
  // about the whole fit: sum of (b_(i) - b)(b_(i) - b)'.
  const LinearModel robust = fit_linear_model(x, y, ResidualSpread::kDiffers);
  Eigen::MatrixXd jackknife = Eigen::MatrixXd::Zero(2, 2);
  for (int left = 0; left < n; ++left) {
    Eigen::MatrixXd xs(n - 1, 2);
    Eigen::VectorXd ys(n - 1);
    xs << x.topRows(left), x.bottomRows(n - 1 - left);
    ys << y.head(left), y.tail(n - 1 - left);
    const Eigen::VectorXd by =
        fit_linear_model(xs, ys).coefficients - model.coefficients;
    jackknife += by * by.transpose();
  }
  CHECK((robust.covariance - jackknife).norm() < 1e-8 * jackknife.norm());
}

TEST_CASE("least squares of what cannot be fitted") {
  Eigen::MatrixXd x(4, 2);
  x << 1, 2, 1, 2, 1, 2, 1, 2;
  CHECK_FALSE(fit_linear_model(x, Eigen::VectorXd::Ones(4)).ok);
  CHECK_FALSE(fit_linear_model(x.topRows(2), Eigen::VectorXd::Ones(2)).ok);
  x(2, 1) = NAN;
  CHECK_FALSE(fit_linear_model(x, Eigen::VectorXd::Ones(4)).ok);
  CHECK_FALSE(
      fit_linear_model(Eigen::MatrixXd::Zero(4, 1), Eigen::VectorXd::Ones(4))
          .ok);
}

TEST_CASE("Holm's adjustment") {
  // R: p.adjust(c(0.01, 0.04, 0.03, 0.005), "holm")
  const std::vector<double> p{0.01, 0.04, 0.03, 0.005};
  const std::vector<double> adjusted = holm_adjusted(p);
  CHECK(adjusted[0] == near(0.03));
  CHECK(adjusted[1] == near(0.06));
  CHECK(adjusted[2] == near(0.06));
  CHECK(adjusted[3] == near(0.02));
  const std::vector<double> with_gap{0.02, NAN};
  CHECK(holm_adjusted(with_gap)[0] == near(0.02));
  CHECK(std::isnan(holm_adjusted(with_gap)[1]));
  CHECK(holm_adjusted({}).empty());
  const std::vector<double> bad{1.2};
  CHECK_THROWS_AS(holm_adjusted(bad), std::logic_error);
}
