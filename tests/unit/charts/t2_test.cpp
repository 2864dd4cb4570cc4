// SPDX-License-Identifier: MIT
#include "charts/t2.h"

#include "stats/covariance.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("T2 limits: p = 2 to 5, n = 20 to 200, four levels") {
  const CsvTable table = statistics_table("t2_limits.csv");
  const auto p = column_of(table, "p");
  const auto m = column_of(table, "m");
  const auto alpha = column_of(table, "alpha");
  const auto phase1 = column_of(table, "ucl_phase1_individual_beta");
  const auto phase2 = column_of(table, "ucl_phase2_individual_F");
  const auto known = column_of(table, "ucl_chi2");
  REQUIRE(p.size() == 96);
  for (std::size_t i = 0; i < p.size(); ++i) {
    const int pi = static_cast<int>(p[i]);
    const int mi = static_cast<int>(m[i]);
    CHECK(t2_limit_phase1(pi, mi, alpha[i]) ==
          doctest::Approx(phase1[i]).epsilon(1e-8));
    CHECK(t2_limit_phase2(pi, mi, alpha[i]) ==
          doctest::Approx(phase2[i]).epsilon(1e-8));
    CHECK(t2_limit_known(pi, alpha[i]) ==
          doctest::Approx(known[i]).epsilon(1e-8));
  }
}

TEST_CASE("T2: stack loss data, phase I") {
  const CsvTable table = statistics_table("t2_stackloss.csv");
  Eigen::MatrixXd x(21, 3);
  int column = 0;
  for (const char* name : {"Air.Flow", "Water.Temp", "Acid.Conc."}) {
    const auto values = column_of(table, name);
    REQUIRE(values.size() == 21);
    for (int i = 0; i < 21; ++i) {
      x(i, column) = values[static_cast<std::size_t>(i)];
    }
    ++column;
  }
  const auto expected = column_of(table, "T2");
  const MeanCovariance fit = mean_covariance(x);
  const T2Chart chart(fit.mean, fit.covariance, 21, 0.05);
  double sum = 0;
  double largest = 0;
  for (int i = 0; i < 21; ++i) {
    const T2Point point = chart.add(x.row(i).transpose());
    CHECK(point.p == 3);
    CHECK(point.value ==
          doctest::Approx(expected[static_cast<std::size_t>(i)]).epsilon(1e-9));
    sum += point.value;
    largest = std::max(largest, point.value);
  }
  CHECK(sum == doctest::Approx(60));  // p (m - 1), exactly
  CHECK(largest == doctest::Approx(7.2900890048).epsilon(1e-9));
  CHECK(t2_limit_phase1(3, 21, 0.05) == doctest::Approx(6.8699019060));
  CHECK(t2_limit_phase1(3, 21, 0.01) == doctest::Approx(9.1010816101));
}

TEST_CASE("T2 run length with known parameters") {
  // R: 1 / pchisq(10.59663473, 2, shift^2, lower = FALSE)
  const double limit = t2_limit_known(2, 1.0 / 200);
  CHECK(limit == doctest::Approx(10.59663473).epsilon(1e-9));
  CHECK(t2_run_length(2, limit, 0) == doctest::Approx(200));
  CHECK(t2_run_length(2, limit, 0.5) == doctest::Approx(115.5293499));
  CHECK(t2_run_length(2, limit, 1) == doctest::Approx(41.91590229));
  CHECK(t2_run_length(2, limit, 2) == doctest::Approx(6.875068204));
}

TEST_CASE("T2: missing components, parts, misuse") {
  Eigen::Matrix2d covariance;
  covariance << 4, 3.8, 3.8, 4;
  const T2Chart chart(Eigen::Vector2d(1, 2), covariance, 30, 0.01);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const T2Point half = chart.add(Eigen::Vector2d(5, nan));
  CHECK(half.p == 1);
  CHECK(half.value == doctest::Approx(4));  // (5 - 1)^2 / 4
  CHECK(half.limit == doctest::Approx(t2_limit_phase2(1, 30, 0.01)));
  const T2Point none = chart.add(Eigen::Vector2d(nan, nan));
  CHECK(std::isnan(none.value));
  CHECK_FALSE(none.signal);
  // Against the correlation: neither part is far alone, both are together.
  const Eigen::Vector2d odd(3, 0);
  CHECK(chart.add(odd).signal);
  const auto parts = chart.parts(odd);
  REQUIRE(parts.size() == 2);
  CHECK(parts[0].alone == doctest::Approx(1));
  CHECK(parts[0].alone + parts[1].given_others ==
        doctest::Approx(chart.add(odd).value));
  CHECK(parts[0].given_others > 30);
  CHECK_THROWS_AS(T2Chart(Eigen::Vector2d(0, 0), covariance, 2, 0.01),
                  std::logic_error);
  CHECK_THROWS_AS(t2_limit_phase1(3, 4, 0.01), std::logic_error);
}
