// SPDX-License-Identifier: MIT
#include "charts/cusum.h"

#include "base/random.h"
#include "charts/cusum_run_length.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("CUSUM: NIST example 6.3.2.3") {
  const CsvTable table = statistics_table("nist_6323_cusum.csv");
  const auto x = column_of(table, "x");
  const auto up = column_of(table, "s_hi_published");
  const auto down = column_of(table, "s_lo_published");
  const auto n_up = column_of(table, "N_plus");
  const auto n_down = column_of(table, "N_minus");
  REQUIRE(x.size() == 20);
  const double sigma = 0.635;
  CusumChart chart(325, sigma, {0.5, 4.1959 / sigma, 0});
  int first_signal = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    const CusumPoint point = chart.add(x[i]);
    // Printed to two digits, ties rounded either way.
    CHECK(std::abs(point.up * sigma - up[i]) < 0.0051);
    CHECK(std::abs(point.down * sigma - down[i]) < 0.0051);
    CHECK(point.since_up == n_up[i]);
    CHECK(point.since_down == n_down[i]);
    if (point.signal() && first_signal == 0) {
      first_signal = static_cast<int>(i) + 1;
      CHECK(point.signal_up);
      CHECK_FALSE(point.signal_down);
    }
  }
  CHECK(first_signal == 14);
}

TEST_CASE("CUSUM: what is not a number holds the chart; misuse") {
  CusumChart chart(10, 2, {});
  chart.add(13);
  CHECK(chart.last().up == doctest::Approx(1));
  const CusumPoint held = chart.add(std::numeric_limits<double>::quiet_NaN());
  CHECK(held.up == chart.last().up);
  CHECK_FALSE(chart.add(std::numeric_limits<double>::infinity()).signal());
  CusumChart constant(3, 0, {});
  CHECK_FALSE(constant.add(3).signal());
  CHECK(constant.add(3.1).signal_up);
  CHECK_THROWS(CusumChart(0, -1, {}));
  CHECK_THROWS(CusumChart(0, 1, {0.5, 0, 0}));
  CHECK_THROWS(CusumChart(0, 1, {-0.5, 5, 0}));
  CHECK_THROWS(CusumChart(0, 1, {0.5, 5, 1}));
  CusumChart started(0, 1, {0.5, 5, 0.5});
  CHECK(started.last().up == 2.5);
}

TEST_CASE("CUSUM run lengths: 28 designs x 20 shifts") {
  const CsvTable table = statistics_table("cusum_arl.csv");
  const auto k = column_of(table, "k");
  const auto h = column_of(table, "h");
  const auto shift = column_of(table, "shift");
  const auto two = column_of(table, "arl_two");
  const auto fir = column_of(table, "arl_two_fir");
  int checked = 0;
  for (std::size_t i = 0; i < k.size(); i += 3) {
    CAPTURE(k[i]);
    CAPTURE(h[i]);
    CAPTURE(shift[i]);
    const CusumDesign plain{k[i], h[i], 0};
    if (two[i] < 1e8) {
      CHECK(cusum_run_length(plain, shift[i]) ==
            doctest::Approx(two[i]).epsilon(1e-5));
      CHECK(cusum_run_length({k[i], h[i], 0.5}, shift[i]) ==
            doctest::Approx(fir[i]).epsilon(1e-5));
    }
    ++checked;
  }
  CHECK(checked >= 180);
  // Lucas and Crosier (1982), Table 1: k = .5, h = 4, as printed.
  CHECK(cusum_run_length({0.5, 4, 0}, 0) == doctest::Approx(168).epsilon(.005));
  CHECK(cusum_run_length({0.5, 4, 0}, 1) ==
        doctest::Approx(8.38).epsilon(.001));
  CHECK(cusum_run_length({0.5, 4, 0.5}, 0) ==
        doctest::Approx(149).epsilon(.005));
  CHECK(cusum_run_length({0.5, 4, 0.5}, 1) ==
        doctest::Approx(5.29).epsilon(.001));
}

TEST_CASE("CUSUM limits for a wanted run length") {
  const CsvTable table = statistics_table("cusum_crit.csv");
  const auto k = column_of(table, "k");
  const auto run_length = column_of(table, "ARL0");
  const auto h = column_of(table, "h_two");
  int checked = 0;
  for (std::size_t i = 0; i < k.size(); i += 2) {
    CAPTURE(k[i]);
    CAPTURE(run_length[i]);
    CHECK(cusum_limit(k[i], run_length[i]) ==
          doctest::Approx(h[i]).epsilon(1e-6));
    ++checked;
  }
  CHECK(checked >= 8);
  CHECK_THROWS_AS(cusum_limit(0.5, 1.0), std::exception);
}

TEST_CASE("CUSUM: a simulated run length is the computed one") {
  const CusumDesign design{0.5, 3, 0.5};
  RandomEngine engine = derived_engine(41, "cusum run length");
  std::normal_distribution<double> normal(0.5, 1);
  double sum = 0;
  double squares = 0;
  constexpr int kRuns = 4000;
  for (int run = 0; run < kRuns; ++run) {
    CusumChart chart(0, 1, design);
    int length = 1;
    while (!chart.add(normal(engine)).signal()) ++length;
    sum += length;
    squares += static_cast<double>(length) * length;
  }
  const double mean = sum / kRuns;
  const double error = std::sqrt((squares / kRuns - mean * mean) / kRuns);
  CHECK(std::abs(mean - cusum_run_length(design, 0.5)) < 4 * error);
}
