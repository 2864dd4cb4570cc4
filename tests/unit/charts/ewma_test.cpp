// SPDX-License-Identifier: MIT
#include "charts/ewma.h"

#include "charts/ewma_run_length.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("EWMA: NIST example 6.3.2.4") {
  const CsvTable table = statistics_table("nist_6324_ewma.csv");
  const auto x = column_of(table, "x");
  const auto published = column_of(table, "ewma_published_2dp");
  const auto lower = column_of(table, "lcl_exact_variance");
  const auto upper = column_of(table, "ucl_exact_variance");
  REQUIRE(x.size() == 20);
  EwmaDesign design;
  design.lambda = 0.3;
  design.width = 3;
  EwmaChart chart(50, 2.0539, design);
  design.growing_limits = false;
  EwmaChart fixed(50, 2.0539, design);
  for (std::size_t i = 0; i < x.size(); ++i) {
    const EwmaPoint point = chart.add(x[i]);
    CHECK(std::abs(point.value - published[i]) < 0.0051);
    CHECK(point.lower == doctest::Approx(lower[i]).epsilon(1e-9));
    CHECK(point.upper == doctest::Approx(upper[i]).epsilon(1e-9));
    CHECK_FALSE(point.signal);
    // Published 47.4115 and 52.5884 (truncated); exact values:
    const EwmaPoint settled = fixed.add(x[i]);
    CHECK(settled.lower == doctest::Approx(47.4115682619).epsilon(1e-10));
    CHECK(settled.upper == doctest::Approx(52.5884317381).epsilon(1e-10));
  }
  CHECK(chart.last().value == doctest::Approx(51.9882432586).epsilon(1e-10));
}

TEST_CASE("EWMA: what is not a number holds the chart") {
  EwmaChart chart(0, 1, {});
  chart.add(1);
  const EwmaPoint before = chart.last();
  const EwmaPoint held = chart.add(std::numeric_limits<double>::quiet_NaN());
  CHECK(held.value == before.value);
  CHECK(held.upper == before.upper);
  CHECK_FALSE(chart.add(std::numeric_limits<double>::infinity()).signal);
  EwmaChart constant(3, 0, {});
  CHECK_FALSE(constant.add(3).signal);
  CHECK(constant.add(3.1).signal);
  EwmaDesign bad;
  bad.lambda = 0;
  CHECK_THROWS(EwmaChart(0, 1, bad));
  CHECK_THROWS(EwmaChart(0, -1, {}));
}

TEST_CASE("EWMA run lengths: 18 designs x 20 shifts") {
  const CsvTable table = statistics_table("ewma_arl.csv");
  const auto lambda = column_of(table, "lambda");
  const auto width = column_of(table, "L");
  const auto shift = column_of(table, "shift");
  const auto fixed = column_of(table, "arl_zero_fixed");
  const auto growing = column_of(table, "arl_zero_varying");
  int checked = 0;
  for (std::size_t i = 0; i < lambda.size(); i += 3) {
    CAPTURE(lambda[i]);
    CAPTURE(width[i]);
    CAPTURE(shift[i]);
    CHECK(ewma_run_length(lambda[i], width[i], shift[i], EwmaLimits::kFixed) ==
          doctest::Approx(fixed[i]).epsilon(1e-6));
    CHECK(
        ewma_run_length(lambda[i], width[i], shift[i], EwmaLimits::kGrowing) ==
        doctest::Approx(growing[i]).epsilon(1e-4));
    ++checked;
  }
  CHECK(checked == 120);
  // Lucas and Saccucci (1990), Table 3, as printed.
  CHECK(ewma_run_length(0.5, 3.071, 1, EwmaLimits::kFixed) ==
        doctest::Approx(17.5).epsilon(0.002));
  CHECK(ewma_run_length(0.03, 2.437, 1, EwmaLimits::kFixed) ==
        doctest::Approx(12.6).epsilon(0.002));
}

TEST_CASE("EWMA widths for a wanted run length") {
  const CsvTable table = statistics_table("ewma_crit.csv");
  const auto lambda = column_of(table, "lambda");
  const auto run_length = column_of(table, "ARL0");
  const auto fixed = column_of(table, "L_fixed");
  const auto growing = column_of(table, "L_varying");
  int checked = 0;
  for (std::size_t i = 1; i < lambda.size(); i += 4) {
    CAPTURE(lambda[i]);
    CAPTURE(run_length[i]);
    CHECK(ewma_width(lambda[i], run_length[i], EwmaLimits::kFixed) ==
          doctest::Approx(fixed[i]).epsilon(1e-6));
    CHECK(ewma_width(lambda[i], run_length[i], EwmaLimits::kGrowing) ==
          doctest::Approx(growing[i]).epsilon(1e-5));
    ++checked;
  }
  CHECK(checked >= 10);
  // Crowder (1989): run length 250 at lambda .1 and .25.
  CHECK(ewma_width(0.1, 250, EwmaLimits::kFixed) ==
        doctest::Approx(2.55).epsilon(0.002));
  CHECK(ewma_width(0.25, 250, EwmaLimits::kFixed) ==
        doctest::Approx(2.76).epsilon(0.002));
  CHECK_THROWS_AS(ewma_width(0.1, 1.0, EwmaLimits::kFixed), std::exception);
  CHECK_THROWS_AS(ewma_run_length(0, 3, 0, EwmaLimits::kFixed), std::exception);
}
