// SPDX-License-Identifier: MIT
#include "stats/distributions.h"

#include "stats/chart_constants.h"
#include "stats/quadrature.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("quantiles of the tables") {
  // NIST/SEMATECH e-Handbook 1.3.6.7, tables of critical values.
  CHECK(normal_quantile(0.975) == doctest::Approx(1.959964).epsilon(1e-6));
  CHECK(student_t_quantile(0.975, 10) == doctest::Approx(2.228).epsilon(3e-4));
  CHECK(chi_squared_upper(0.05, 4) == doctest::Approx(9.488).epsilon(1e-4));
  CHECK(f_upper(0.05, 5, 10) == doctest::Approx(3.326).epsilon(2e-4));
  // R: qbeta(.95, 2, 3)
  CHECK(beta_upper(0.05, 2, 3) == doctest::Approx(0.7513954).epsilon(1e-6));
}

TEST_CASE("distribution and quantile undo each other") {
  int checked = 0;
  for (const double p : {1e-6, 0.01, 0.3, 0.5, 0.9, 0.999}) {
    CHECK(normal_cdf(normal_quantile(p)) == doctest::Approx(p).epsilon(1e-9));
    CHECK(student_t_cdf(student_t_quantile(p, 7), 7) ==
          doctest::Approx(p).epsilon(1e-9));
    CHECK(chi_squared_cdf(chi_squared_quantile(p, 3), 3) ==
          doctest::Approx(p).epsilon(1e-9));
    CHECK(chi_squared_tail(chi_squared_upper(p, 3), 3) ==
          doctest::Approx(p).epsilon(1e-9));
    CHECK(f_tail(f_upper(p, 4, 21), 4, 21) == doctest::Approx(p).epsilon(1e-9));
    ++checked;
  }
  CHECK(checked == 6);
  CHECK(noncentral_chi_squared_tail(6, 3, 0) ==
        doctest::Approx(chi_squared_tail(6, 3)));
}

TEST_CASE("non-central density integrates to its tail") {
  const Quadrature rule = gauss_legendre(80, 5, 120);
  double sum = 0;
  for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
    sum +=
        rule.weights[i] * noncentral_chi_squared_density(rule.nodes[i], 4, 9);
  }
  CHECK(sum ==
        doctest::Approx(noncentral_chi_squared_tail(5, 4, 9)).epsilon(1e-10));
}

TEST_CASE("arguments outside the contract are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(normal_quantile(0), std::logic_error);
  CHECK_THROWS_AS(normal_quantile(1), std::logic_error);
  CHECK_THROWS_AS(normal_quantile(nan), std::logic_error);
  CHECK_THROWS_AS(normal_cdf(nan), std::logic_error);
  CHECK_THROWS_AS(student_t_quantile(0.5, 0), std::logic_error);
  CHECK_THROWS_AS(chi_squared_upper(0.5, -1), std::logic_error);
  CHECK_THROWS_AS(f_upper(0.5, 1, nan), std::logic_error);
  CHECK_THROWS_AS(beta_upper(2, 1, 1), std::logic_error);
  CHECK_THROWS_AS(noncentral_chi_squared_tail(1, 1, -1), std::logic_error);
  CHECK(chi_squared_tail(-1, 2) == 1);
  CHECK(f_tail(0, 2, 3) == 1);
  CHECK(normal_cdf(std::numeric_limits<double>::infinity()) == 1);
}

TEST_CASE("Gauss-Legendre is exact for polynomials") {
  for (const int n : {1, 2, 5, 40}) {
    const Quadrature rule = gauss_legendre(n, -1, 3);
    double sum = 0;
    for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
      sum += rule.weights[i] * std::pow(rule.nodes[i], 2 * n - 1);
    }
    CHECK(sum ==
          doctest::Approx((std::pow(3, 2 * n) - 1) / (2 * n)).epsilon(1e-10));
  }
  CHECK_THROWS_AS(gauss_legendre(0, 0, 1), std::logic_error);
}

TEST_CASE("chart constants, n = 2 to 25") {
  const CsvTable table = statistics_table("control_chart_constants.csv");
  const auto d2 = column_of(table, "d2");
  const auto d3 = column_of(table, "d3");
  REQUIRE(d2.size() == 24);
  for (int n = 2; n <= 25; ++n) {
    const auto i = static_cast<std::size_t>(n - 2);
    CAPTURE(n);
    CHECK(d2_factor(n) == doctest::Approx(d2[i]).epsilon(1e-9));
    CHECK(d3_factor(n) == doctest::Approx(d3[i]).epsilon(1e-7));
  }
  CHECK_THROWS_AS(d2_factor(0), std::logic_error);
}
