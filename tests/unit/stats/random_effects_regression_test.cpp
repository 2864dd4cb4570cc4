// SPDX-License-Identifier: MIT
#include "stats/random_effects_regression.h"

#include "base/random.h"
#include "stats/distributions.h"
#include "stats/variance_components.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>

#include <Eigen/Dense>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Thirteen trials of BCG vaccine against tuberculosis (Colditz et al. 1994,
// JAMA 271:698): ill and well with and without, latitude.
constexpr double kTrials[13][5] = {{4, 119, 11, 128, 44},
                                   {6, 300, 29, 274, 55},
                                   {3, 228, 11, 209, 42},
                                   {62, 13536, 248, 12619, 52},
                                   {33, 5036, 47, 5761, 13},
                                   {180, 1361, 372, 1079, 44},
                                   {8, 2537, 10, 619, 19},
                                   {505, 87886, 499, 87892, 13},
                                   {29, 7470, 45, 7232, 27},
                                   {17, 1699, 65, 1600, 42},
                                   {186, 50448, 141, 27197, 18},
                                   {5, 2493, 3, 2338, 33},
                                   {27, 16886, 29, 17825, 33}};

struct Data {
  Eigen::VectorXd y;
  Eigen::VectorXd v;
  Eigen::MatrixXd x;
};

// Log risk ratios and their variances.
Data bcg(bool with_latitude) {
  Data data{Eigen::VectorXd(13),
            Eigen::VectorXd(13),
            Eigen::MatrixXd::Ones(13, with_latitude ? 2 : 1)};
  for (int i = 0; i < 13; ++i) {
    const double* t = kTrials[i];
    const double n1 = t[0] + t[1];
    const double n2 = t[2] + t[3];
    data.y(i) = std::log(t[0] / n1) - std::log(t[2] / n2);
    data.v(i) = 1 / t[0] - 1 / n1 + 1 / t[2] - 1 / n2;
    if (with_latitude) data.x(i, 1) = t[4];
  }
  return data;
}

}  // namespace

TEST_CASE("random effects: the BCG trials") {
  const Data data = bcg(false);
  const auto fit = random_effects_regression(data.y, data.v, data.x);
  REQUIRE(fit.ok);
  // R package metafor 3.8, rma(yi, vi, method = "REML"): 0.3132, -0.7145,
  // standard error 0.1798 without the factor q.
  CHECK(fit.between_variance == doctest::Approx(0.3132).epsilon(2e-4));
  CHECK(fit.coefficients(0) == doctest::Approx(-0.7145).epsilon(1e-4));
  CHECK(fit.standard_error(0) / std::sqrt(fit.q) ==
        doctest::Approx(0.1798).epsilon(3e-4));
  CHECK(fit.degrees == 12);
}

TEST_CASE("random effects: the BCG trials by latitude") {
  const Data data = bcg(true);
  const auto fit = random_effects_regression(data.y, data.v, data.x);
  REQUIRE(fit.ok);
  // metafor, mods = ~ ablat: 0.0764; 0.2515 (0.2491), -0.0291 (0.0072).
  CHECK(fit.between_variance == doctest::Approx(0.0764).epsilon(1e-3));
  CHECK(fit.coefficients(0) == doctest::Approx(0.2515).epsilon(1e-3));
  CHECK(fit.coefficients(1) == doctest::Approx(-0.0291).epsilon(2e-3));
  CHECK(fit.standard_error(0) / std::sqrt(fit.q) ==
        doctest::Approx(0.2491).epsilon(1e-3));
  CHECK(fit.standard_error(1) / std::sqrt(fit.q) ==
        doctest::Approx(0.0072).epsilon(5e-3));
  CHECK(fit.degrees == 11);
  CHECK(
      fit.probability(1) ==
      doctest::Approx(
          2 * student_t_cdf(fit.coefficients(1) / fit.standard_error(1), 11)));
}

TEST_CASE("random effects: weights alone, where nothing else scatters") {
  // dist ~ speed of the cars data with weights 1 / speed; R: lm(dist ~ speed,
  // cars, weights = 1 / speed). With variances this large REML gives 0.
  const CsvTable table = statistics_table("cars.csv");
  const auto speed = column_of(table, "speed");
  const auto dist = column_of(table, "dist");
  const auto n = static_cast<Eigen::Index>(speed.size());
  const Eigen::VectorXd s = Eigen::VectorXd::Map(speed.data(), n);
  Eigen::MatrixXd x = Eigen::MatrixXd::Ones(n, 2);
  x.col(1) = s;
  const auto fit = random_effects_regression(
      Eigen::VectorXd::Map(dist.data(), n), 1e4 * s, x);
  REQUIRE(fit.ok);
  CHECK(fit.between_variance == 0);
  CHECK(fit.coefficients(0) == doctest::Approx(-12.96729238141).epsilon(1e-9));
  CHECK(fit.coefficients(1) == doctest::Approx(3.63294106373).epsilon(1e-9));
  CHECK(fit.standard_error(0) == doctest::Approx(4.878759503497).epsilon(1e-9));
  CHECK(fit.standard_error(1) == doctest::Approx(0.345319405896).epsilon(1e-9));
  CHECK(std::sqrt(fit.q * 1e4) == doctest::Approx(3.81298474061).epsilon(1e-9));
}

TEST_CASE("random effects: coverage and false alarms with few groups") {
  Eigen::MatrixXd x = Eigen::MatrixXd::Ones(9, 2);
  Eigen::VectorXd v(9);
  for (int i = 0; i < 9; ++i) {
    x(i, 1) = i;
    v(i) = 1.0 / (1 + i % 4);
  }
  const int runs = 2000;
  int covered = 0;
  int false_alarms = 0;
  for (int run = 0; run < runs; ++run) {
    auto engine = derived_engine(8, "random effects", run);
    std::normal_distribution<double> normal;
    Eigen::VectorXd y(9);
    for (int i = 0; i < 9; ++i) {
      y(i) =
          3 + 0.4 * i + 0.8 * normal(engine) + std::sqrt(v(i)) * normal(engine);
    }
    const auto fit = random_effects_regression(y, v, x);
    REQUIRE(fit.ok);
    const double half = student_t_quantile(0.975, 7) * fit.standard_error(1);
    covered += std::abs(fit.coefficients(1) - 0.4) < half;
    const Eigen::VectorXd level = y - 0.4 * x.col(1);
    false_alarms +=
        random_effects_regression(level, v, x).probability(1) < 0.05;
  }
  CHECK(covered > 0.93 * runs);
  CHECK(covered < 0.97 * runs);
  CHECK(false_alarms > 0.03 * runs);
  CHECK(false_alarms < 0.07 * runs);
}

TEST_CASE("random effects: bad input has a reason") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const Eigen::MatrixXd ones = Eigen::MatrixXd::Ones(3, 1);
  const Eigen::Vector3d y(1, 2, 4);
  const Eigen::Vector3d v(1, 1, 1);
  int refused = 0;
  const auto refuse = [&](const Eigen::VectorXd& means,
                          const Eigen::VectorXd& variances,
                          const Eigen::MatrixXd& x) {
    const auto fit = random_effects_regression(means, variances, x);
    CHECK_FALSE(fit.ok);
    CHECK_FALSE(fit.message.empty());
    ++refused;
  };
  refuse(Eigen::VectorXd(0), Eigen::VectorXd(0), Eigen::MatrixXd(0, 1));
  refuse(y.head<1>(), v.head<1>(), ones.topRows(1));
  refuse(Eigen::Vector3d(1, nan, 2), v, ones);
  refuse(y, Eigen::Vector3d(1, -1, 1), ones);
  refuse(y, v, Eigen::MatrixXd::Ones(3, 2));
  refuse(Eigen::Vector3d(2, 2, 2), v, ones);
  CHECK(refused == 6);
  CHECK_THROWS_AS(random_effects_regression(y, v.head<2>(), ones),
                  std::logic_error);
  // Without errors of their own the groups scatter as a sample does.
  const auto fit = random_effects_regression(y, Eigen::Vector3d::Zero(), ones);
  CHECK(fit.between_variance == doctest::Approx(7.0 / 3).epsilon(1e-5));
}
