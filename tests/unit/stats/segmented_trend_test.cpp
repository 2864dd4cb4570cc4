// SPDX-License-Identifier: MIT
#include "stats/segmented_trend.h"

#include "base/random.h"
#include "stats/trend.h"
#include "support/statistics_data.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("Mann-Kendall and Theil-Sen: EPA Unified Guidance, Example 17-6") {
  const CsvTable table = statistics_table("epa_17_6_sulfate.csv");
  const auto t = column_of(table, "Sampling.Date");
  const auto y = column_of(table, "Sulfate.ppm");
  const SegmentedTrend fit = segmented_trend(t, y, {}, 0.95);
  REQUIRE(fit.ok);
  CHECK(fit.s == 194);
  CHECK(fit.variance == doctest::Approx(1428));
  CHECK(fit.z == doctest::Approx(5.107322).epsilon(1e-7));
  CHECK(fit.probability == doctest::Approx(3.267574e-07).epsilon(1e-6));
  CHECK(fit.slope == doctest::Approx(26.6666666667).epsilon(1e-9));
  CHECK(fit.slope_low == doctest::Approx(20).epsilon(1e-9));
  CHECK(fit.slope_high == doctest::Approx(35.7118240305).epsilon(1e-9));
}

TEST_CASE("Sen's own example, and one stretch is no stretch") {
  const CsvTable table = statistics_table("sen1968.csv");
  const auto t = column_of(table, "t");
  const auto y = column_of(table, "y");
  const SegmentedTrend fit = segmented_trend(t, y, {}, 0.93);
  const TheilSen plain = theil_sen(t, y, 0.93);
  REQUIRE(fit.ok);
  CHECK(fit.slope == 4);
  CHECK(fit.slope_low == doctest::Approx(plain.slope_low));
  CHECK(fit.slope_high == doctest::Approx(plain.slope_high));
  // All 21 pairs rise: the probability is 2 / 7!.
  CHECK(fit.s == 21);
  CHECK(fit.probability == doctest::Approx(2.0 / 5040));
}

TEST_CASE("the exact law of S") {
  const CsvTable table = statistics_table("mann_kendall_exact.csv");
  const auto n = column_of(table, "n");
  const auto s = column_of(table, "S");
  const auto p = column_of(table, "P_S_ge");
  for (std::size_t i = 0; i < n.size(); ++i) {
    CHECK(kendall_tail(static_cast<int>(n[i]), static_cast<int>(s[i])) ==
          doctest::Approx(p[i]).epsilon(1e-8));
  }
  CHECK(n.size() > 20);
  // Counted one by one over the 5! orders.
  std::vector<int> order{0, 1, 2, 3, 4};
  int at_least_6 = 0;
  int orders = 0;
  do {
    int sum = 0;
    for (int i = 0; i < 5; ++i) {
      for (int j = 0; j < i; ++j) sum += order[i] > order[j] ? 1 : -1;
    }
    at_least_6 += sum >= 6;
    ++orders;
  } while (std::next_permutation(order.begin(), order.end()));
  CHECK(orders == 120);
  CHECK(kendall_tail(5, 6) == doctest::Approx(at_least_6 / 120.0));
  CHECK_THROWS_AS(kendall_tail(1, 0), std::logic_error);
}

TEST_CASE("a step between stretches is not a trend") {
  std::vector<double> t(20);
  std::iota(t.begin(), t.end(), 0.0);
  std::vector<int> segment;
  for (int i = 0; i < 20; ++i) segment.push_back(i / 10);
  const int runs = 1000;
  int with = 0;
  int without = 0;
  int covered = 0;
  for (int run = 0; run < runs; ++run) {
    auto engine = derived_engine(4, "segmented trend", run);
    std::normal_distribution<double> normal;
    std::vector<double> y;
    for (int i = 0; i < 20; ++i) y.push_back(5 * segment[i] + normal(engine));
    const auto fit = segmented_trend(t, y, segment, 0.95);
    with += fit.probability < 0.05;
    covered += fit.slope_low <= 0 && fit.slope_high >= 0;
    without += segmented_trend(t, y, {}, 0.95).probability < 0.05;
  }
  CHECK(with > 0.025 * runs);
  CHECK(with < 0.075 * runs);
  CHECK(covered > 0.93 * runs);
  CHECK(without > 0.99 * runs);
}

TEST_CASE("many values: a choice of pairs tells the same") {
  std::vector<double> t;
  std::vector<double> y;
  auto engine = derived_engine(4, "many values");
  std::normal_distribution<double> normal;
  for (int i = 0; i < 1500; ++i) {
    t.push_back(i);
    y.push_back(0.002 * i + normal(engine));
  }
  const auto fit = segmented_trend(t, y, {}, 0.95);
  const auto plain = theil_sen(t, y, 0.95);
  CHECK(fit.pairs == 1500 * 1499 / 2);
  CHECK(fit.slope == doctest::Approx(plain.slope).epsilon(0.01));
  CHECK(fit.slope_low == doctest::Approx(plain.slope_low).epsilon(0.02));
  CHECK(fit.slope_high == doctest::Approx(plain.slope_high).epsilon(0.02));
}

TEST_CASE("segmented trend: bad input") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  using V = std::vector<double>;
  int refused = 0;
  for (const auto& [t, y] : {std::pair<V, V>{{}, {}},
                             {{1, 2}, {1, 2}},
                             {{1, 1, 1}, {1, 2, 3}},
                             {{1, 2, nan}, {1, 2, 3}},
                             {{1, 2, 3}, {1, nan, 3}}}) {
    CHECK_FALSE(segmented_trend(t, y, {}, 0.95).ok);
    ++refused;
  }
  CHECK(refused == 5);
  const V t{1, 2, 3, 4};
  CHECK_FALSE(
      segmented_trend(t, V{1, 2, 3, 4}, std::vector<int>{0, 0, 1, 1}, 0.9).ok);
  // Pairs of three stretches are three.
  CHECK(segmented_trend(V{1, 2, 3, 4, 5, 6},
                        V{1, 2, 3, 4, 5, 6},
                        std::vector<int>{0, 0, 1, 1, 2, 2},
                        0.9)
            .ok);
  CHECK_THROWS_AS(segmented_trend(t, V{1, 2}, {}, 0.9), std::logic_error);
  const auto flat = segmented_trend(t, V{5, 5, 5, 5}, {}, 0.95);
  CHECK(flat.ok);
  CHECK(flat.slope == 0);
  CHECK(flat.probability == 1);
}
