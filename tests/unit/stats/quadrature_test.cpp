// SPDX-License-Identifier: MIT
#include "stats/quadrature.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("nodes and weights of five points, as they are tabulated") {
  // Abramowitz and Stegun, table 25.4.
  const Quadrature rule = gauss_legendre(5, -1, 1);
  REQUIRE(rule.nodes.size() == 5);
  const double nodes[] = {-0.906179845938664,
                          -0.538469310105683,
                          0,
                          0.538469310105683,
                          0.906179845938664};
  const double weights[] = {0.236926885056189,
                            0.478628670499366,
                            0.568888888888889,
                            0.478628670499366,
                            0.236926885056189};
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(rule.nodes[i] == doctest::Approx(nodes[i]).epsilon(1e-14));
    CHECK(rule.weights[i] == doctest::Approx(weights[i]).epsilon(1e-14));
  }
}

TEST_CASE("polynomials up to degree 2 n - 1 are whole, on any interval") {
  int tried = 0;
  for (const int n : {1, 2, 3, 8, 64, 128}) {
    const Quadrature rule = gauss_legendre(n, 0.5, 2);
    REQUIRE(rule.nodes.size() == static_cast<std::size_t>(n));
    REQUIRE(rule.weights.size() == static_cast<std::size_t>(n));
    const int degree = std::min(2 * n - 1, 15);
    double sum = 0;
    for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
      if (i > 0) CHECK(rule.nodes[i] > rule.nodes[i - 1]);
      sum += rule.weights[i] * std::pow(rule.nodes[i], degree);
    }
    const double whole =
        (std::pow(2.0, degree + 1) - std::pow(0.5, degree + 1)) / (degree + 1);
    CHECK(sum == doctest::Approx(whole).epsilon(1e-12));
    ++tried;
  }
  CHECK(tried == 6);
  CHECK_THROWS_AS(gauss_legendre(0, 0, 1), std::logic_error);
}
