// SPDX-License-Identifier: MIT
#include "stats/trend.h"

#include "base/random.h"
#include "stats/autocorrelation.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("Theil-Sen: Sen's own example") {
  const CsvTable table = statistics_table("sen1968.csv");
  const TheilSen fit =
      theil_sen(column_of(table, "t"), column_of(table, "y"), 0.93);
  REQUIRE(fit.ok);
  // Sen (1968): slope 4; intercept by medians 4.
  CHECK(fit.slope == doctest::Approx(4));
  CHECK(fit.intercept == doctest::Approx(4));
  // Interpolated normal interval (Gilbert 1987, p. 218).
  CHECK(fit.slope_low == doctest::Approx(3.73099471818).epsilon(1e-9));
  CHECK(fit.slope_high == doctest::Approx(4.28461947893).epsilon(1e-9));
}

TEST_CASE("Theil-Sen: EPA Unified Guidance, Example 17-6") {
  const CsvTable table = statistics_table("epa_17_6_sulfate.csv");
  const TheilSen fit = theil_sen(
      column_of(table, "Sampling.Date"), column_of(table, "Sulfate.ppm"), 0.95);
  REQUIRE(fit.ok);
  CHECK(fit.slope == doctest::Approx(26.6666666667).epsilon(1e-9));
  CHECK(fit.intercept == doctest::Approx(-1909.33333333).epsilon(1e-9));
  CHECK(fit.slope_low == doctest::Approx(20).epsilon(1e-9));
  CHECK(fit.slope_high == doctest::Approx(35.7118240305).epsilon(1e-9));
}

TEST_CASE("least squares: a line by hand and the coverage of its error") {
  // Anscombe (1973), first set: slope .5001, intercept 3.0001, se .1179.
  const std::vector<double> t{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5};
  const std::vector<double> y{
      8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68};
  const LinearTrend fit = linear_trend(t, y);
  REQUIRE(fit.ok);
  CHECK(fit.slope == doctest::Approx(0.5001).epsilon(1e-4));
  CHECK(fit.intercept == doctest::Approx(3.0001).epsilon(1e-4));
  CHECK(fit.slope_se == doctest::Approx(0.1179).epsilon(1e-3));

  int within = 0;
  const int runs = 2000;
  for (int run = 0; run < runs; ++run) {
    auto engine = derived_engine(72, "trend", run);
    std::normal_distribution<double> normal(0, 3);
    std::vector<double> noisy;
    for (const double at : t) noisy.push_back(2 - 0.7 * at + normal(engine));
    const LinearTrend one = linear_trend(t, noisy);
    // t(9), 97.5 %: 2.262
    if (std::abs(one.slope + 0.7) < 2.262 * one.slope_se) ++within;
  }
  CHECK(within > 0.935 * runs);
  CHECK(within < 0.965 * runs);
}

TEST_CASE("trend: bad input") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  int refused = 0;
  for (const auto& [t, y] :
       {std::pair<std::vector<double>, std::vector<double>>{{}, {}},
        {{1, 2}, {1, 2}},
        {{1, 1, 1}, {1, 2, 3}},
        {{1, 2, 3}, {1, nan, 3}},
        {{1, 2, nan}, {1, 2, 3}}}) {
    CHECK_FALSE(linear_trend(t, y).ok);
    CHECK_FALSE(theil_sen(t, y, 0.9).ok);
    ++refused;
  }
  CHECK(refused == 5);
  CHECK_THROWS_AS(
      linear_trend(std::vector<double>{1, 2, 3}, std::vector<double>{1, 2}),
      std::logic_error);
  const std::vector<double> t{1, 2, 3, 4};
  const std::vector<double> flat(4, 5.0);
  CHECK(linear_trend(t, flat).slope == 0);
  CHECK(linear_trend(t, flat).slope_se == 0);
  CHECK(theil_sen(t, flat, 0.9).slope == 0);
}

TEST_CASE("lag-1 autocorrelation") {
  // By hand: mean 3, products (-2)(-1) + (-1)(0) + 0 + (1)(2) = 4, squares 10.
  CHECK(lag1_autocorrelation(std::vector<double>{1, 2, 3, 4, 5}) ==
        doctest::Approx(0.4));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(std::isnan(lag1_autocorrelation(std::vector<double>{})));
  CHECK(std::isnan(lag1_autocorrelation(std::vector<double>{1, 2})));
  CHECK(std::isnan(lag1_autocorrelation(std::vector<double>{2, 2, 2, 2})));
  CHECK(std::isfinite(
      lag1_autocorrelation(std::vector<double>{1, 2, nan, 4, 3})));
  auto engine = derived_engine(73, "ar1");
  std::normal_distribution<double> normal;
  std::vector<double> series{0};
  for (int i = 1; i < 20000; ++i) {
    series.push_back(0.5 * series.back() + normal(engine));
  }
  CHECK(lag1_autocorrelation(series) == doctest::Approx(0.5).epsilon(0.04));
  for (std::size_t i = 0; i < series.size(); i += 5) series[i] = nan;
  CHECK(lag1_autocorrelation(series) == doctest::Approx(0.5).epsilon(0.05));
  CHECK(credible_autocorrelation(0.2, 25) == 0);
  CHECK(credible_autocorrelation(0.5, 25) == 0.5);
  CHECK(credible_autocorrelation(nan, 25) == 0);
}

// Computed another way: the variance of a mean of n values with
// autocorrelations r^|k| is sum (1 - |k|/n) r^|k| times that of independent
// ones.
TEST_CASE("memory makes the error of a mean larger") {
  for (const double r : {-0.4, 0.0, 0.3, 0.8}) {
    CAPTURE(r);
    constexpr int kValues = 100000;
    double sum = 1, power = r;
    for (int k = 1; k < kValues && std::abs(power) > 1e-12; ++k, power *= r) {
      sum += 2 * (1 - static_cast<double>(k) / kValues) * power;
    }
    CHECK(variance_inflation(r) == doctest::Approx(sum).epsilon(1e-3));
    CHECK(error_inflation(r) == doctest::Approx(std::sqrt(sum)).epsilon(1e-3));
  }
}
