// SPDX-License-Identifier: MIT
#include "charts/mewma.h"

#include "base/random.h"
#include "charts/mewma_run_length.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include <Eigen/LU>
#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("MEWMA limits: p = 2 to 6, lambda .05 to .8") {
  const CsvTable table = statistics_table("mewma_crit.csv");
  const auto p = column_of(table, "p");
  const auto lambda = column_of(table, "lambda");
  const auto run_length = column_of(table, "ARL0");
  const auto limit = column_of(table, "h4");
  int checked = 0;
  for (std::size_t i = 0; i < p.size(); i += 3) {
    const int pi = static_cast<int>(p[i]);
    CAPTURE(pi);
    CAPTURE(lambda[i]);
    CAPTURE(run_length[i]);
    CHECK(mewma_run_length(pi, lambda[i], limit[i]) ==
          doctest::Approx(run_length[i]).epsilon(1e-4));
    ++checked;
  }
  CHECK(checked == 67);
  // Prabhu and Runger (1997), as printed.
  CHECK(mewma_limit(2, 0.1, 200) == doctest::Approx(8.64).epsilon(0.002));
  CHECK(mewma_limit(4, 0.1, 200) == doctest::Approx(12.73).epsilon(0.002));
  CHECK(mewma_limit(10, 0.1, 200) == doctest::Approx(22.67).epsilon(0.002));
  CHECK(mewma_limit(2, 0.1, 200) == doctest::Approx(8.6335806).epsilon(1e-6));
}

TEST_CASE("MEWMA: the statistic against its definition") {
  Eigen::Matrix2d covariance;
  covariance << 2, 0.6, 0.6, 1;
  const Eigen::Vector2d mean(3, -1);
  MewmaDesign design;
  design.lambda = 0.2;
  design.limit = 9;
  MewmaChart chart(mean, covariance, design);
  auto engine = derived_engine(91, "mewma");
  std::normal_distribution<double> normal;
  Eigen::Vector2d z(0, 0);
  for (int i = 1; i <= 30; ++i) {
    const Eigen::Vector2d x(normal(engine), normal(engine));
    z = 0.2 * (x - mean) + 0.8 * z;
    const double factor = 0.2 / 1.8 * (1 - std::pow(0.8, 2 * i));
    const double expected = z.dot((covariance * factor).inverse() * z);
    const MewmaPoint point = chart.add(x);
    CHECK(point.value == doctest::Approx(expected));
    CHECK(point.signal == (expected > 9));
  }
  CHECK(chart.last().signal);  // the mean is 3.4 sd away from the data's
}

TEST_CASE("MEWMA: missing components") {
  Eigen::Matrix2d covariance;
  covariance << 4, 3, 3, 9;
  const Eigen::Vector2d mean(0, 10);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const Eigen::VectorXd filled =
      fill_expected(Eigen::Vector2d(2, nan), mean, covariance);
  CHECK(filled(0) == 2);
  CHECK(filled(1) == doctest::Approx(10 + 3.0 / 4 * 2));
  CHECK(fill_expected(Eigen::Vector2d(nan, nan), mean, covariance) == mean);
  MewmaChart chart(mean, covariance, {});
  chart.add(Eigen::Vector2d(1, 9));
  const double before = chart.last().value;
  const MewmaPoint held = chart.add(Eigen::Vector2d(nan, nan));
  CHECK(held.value == before);
  CHECK_FALSE(held.signal);
}

TEST_CASE("MEWMA run lengths under a shift") {
  const CsvTable table = statistics_table("mewma_arl.csv");
  const auto p = column_of(table, "p");
  const auto lambda = column_of(table, "lambda");
  const auto limit = column_of(table, "h4");
  const auto delta = column_of(table, "delta");
  const auto length = column_of(table, "arl");
  int checked = 0;
  // One design in five: nine shifts each, the first of them 0.
  for (std::size_t i = 0; i + 9 <= p.size(); i += 45) {
    CAPTURE(p[i]);
    CAPTURE(lambda[i]);
    const auto from = static_cast<std::ptrdiff_t>(i);
    const std::vector<double> shifts(delta.begin() + from,
                                     delta.begin() + from + 9);
    REQUIRE(shifts[0] == 0);
    const auto got =
        mewma_run_lengths(static_cast<int>(p[i]), lambda[i], limit[i], shifts);
    REQUIRE(got.size() == 9);
    for (std::size_t k = 0; k < 9; ++k) {
      CAPTURE(shifts[k]);
      // To 0.5 %: at the smallest lambda and shift the two differ by 0.2 %.
      CHECK(got[k] == doctest::Approx(length[i + k]).epsilon(5e-3));
      ++checked;
    }
  }
  CHECK(checked == 36);
  // Runger and Prabhu (1996), p = 4, r = .1, h = 12.73: 35.05, 12.17, 5.19,
  // 3.42 by a coarser chain; converged 35.072, 12.15299, 5.17693, 3.40834.
  const auto four = mewma_run_lengths(4, 0.1, 12.73, {0.5, 1, 2, 3});
  CHECK(four[0] == doctest::Approx(35.072).epsilon(1e-4));
  CHECK(four[1] == doctest::Approx(12.15299).epsilon(1e-4));
  CHECK(four[2] == doctest::Approx(5.17693).epsilon(1e-4));
  CHECK(four[3] == doctest::Approx(3.40834).epsilon(1e-4));
  // One characteristic is the two-sided EWMA chart of width sqrt(h).
  const auto one = mewma_run_lengths(1, 0.2, 2.962 * 2.962, {0, 1});
  CHECK(one[0] == doctest::Approx(499.7351222).epsilon(1e-5));
  CHECK(one[1] == doctest::Approx(10.5416658).epsilon(1e-5));
  CHECK_THROWS(mewma_run_lengths(0, 0.1, 10, {0}));
}
