// SPDX-License-Identifier: MIT
#include "stats/inverse_prediction.h"

#include "base/random.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/trend.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

FittedLine line_of(std::span<const double> t, const LinearTrend& fit) {
  const double centre = mean(t);
  const double slope_variance = fit.slope_se * fit.slope_se;
  return {fit.intercept,
          fit.slope,
          fit.residual_sd * fit.residual_sd / fit.n +
              centre * centre * slope_variance,
          slope_variance,
          -centre * slope_variance};
}

}  // namespace

TEST_CASE("inverse prediction: crystal growth") {
  // Graybill and Iyer (1994), Regression Analysis, section 6.6; the weights of
  // 14 crystals, and when one of weight 8 began to grow. The interval values
  // were recomputed in R (investr::calibrate agrees).
  const CsvTable table = statistics_table("crystal.csv");
  const auto t = column_of(table, "time");
  const LinearTrend fit = linear_trend(t, column_of(table, "weight"));
  CHECK(fit.intercept == doctest::Approx(0.00142857142857).epsilon(1e-9));
  CHECK(fit.slope == doctest::Approx(0.503428571429).epsilon(1e-9));
  const FittedLine line = line_of(t, fit);
  const double quantile = student_t_quantile(0.975, 12);
  const auto of_mean = inverse_prediction(line, 8, quantile);
  REQUIRE(of_mean.bounded);
  CHECK(of_mean.at == doctest::Approx(15.8881952327).epsilon(1e-9));
  CHECK(of_mean.low == doctest::Approx(14.6589587043).epsilon(1e-9));
  CHECK(of_mean.high == doctest::Approx(17.1596321189).epsilon(1e-9));
  CHECK(of_mean.g == doctest::Approx(0.0232049767865).epsilon(1e-9));
  const auto of_one =
      inverse_prediction(line, 8, quantile, fit.residual_sd * fit.residual_sd);
  CHECK(of_one.low == doctest::Approx(11.0945763045).epsilon(1e-9));
  CHECK(of_one.high == doctest::Approx(20.7240145187).epsilon(1e-9));
}

TEST_CASE("inverse prediction: coverage of a known truth") {
  const std::vector<double> t{0, 1, 2, 3, 4, 5, 6, 7};
  const int runs = 3000;
  int covered = 0;
  int unbounded = 0;
  for (int run = 0; run < runs; ++run) {
    auto engine = derived_engine(6, "inverse prediction", run);
    std::normal_distribution<double> normal(0, 1.5);
    std::vector<double> y;
    for (const double at : t) y.push_back(10 - at + normal(engine));
    const auto found = inverse_prediction(
        line_of(t, linear_trend(t, y)), 10 - 11.5, student_t_quantile(0.95, 6));
    covered += found.low <= 11.5 && 11.5 <= found.high;
    unbounded += !found.bounded;
  }
  CHECK(covered > 0.885 * runs);
  CHECK(covered < 0.925 * runs);
  CHECK(unbounded < 0.1 * runs);
}

TEST_CASE("inverse prediction: no slope, no place") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  int unknown = 0;
  for (const FittedLine& line : {FittedLine{1, 0, 1, 1, 0},
                                 FittedLine{1, 0.5, 1, 1, 0},
                                 FittedLine{nan, 1, 1, 0.01, 0},
                                 FittedLine{1, nan, 1, 0.01, 0}}) {
    const auto found = inverse_prediction(line, 8, 2);
    CHECK_FALSE(found.bounded);
    CHECK(std::isinf(found.high));
    ++unknown;
  }
  CHECK(unknown == 4);
  CHECK(std::isnan(inverse_prediction({1, 0, 1, 1, 0}, 8, 2).at));
  // A line known exactly has no interval.
  const auto sure = inverse_prediction({1, 2, 0, 0, 0}, 8, 2);
  CHECK(sure.low == 3.5);
  CHECK(sure.high == 3.5);
}
