// SPDX-License-Identifier: MIT
#include "stats/chart_constants.h"

#include "base/check.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

constexpr double kFar = 9;  // sigma; the normal tail beyond is below 1e-18

// E(range^2) = 2 * integral over x < y of P(min <= x, max > y), where
// P(min > x, max <= y) = (F(y) - F(x))^n.
double mean_squared_range(int n) {
  constexpr int kNodes = 96;
  const Quadrature outer = gauss_legendre(kNodes, -kFar, kFar);
  double sum = 0;
  for (std::size_t i = 0; i < outer.nodes.size(); ++i) {
    const double f_x = normal_cdf(outer.nodes[i]);
    const Quadrature inner = gauss_legendre(kNodes, outer.nodes[i], kFar);
    for (std::size_t j = 0; j < inner.nodes.size(); ++j) {
      const double f_y = normal_cdf(inner.nodes[j]);
      sum += outer.weights[i] * inner.weights[j] *
             (1 - std::pow(1 - f_x, n) - std::pow(f_y, n) +
              std::pow(f_y - f_x, n));
    }
  }
  return 2 * sum;
}

}  // namespace

double d2_factor(int n) {
  require(n >= 2, "d2 needs samples of at least 2");
  if (n == 2) return 2 / std::sqrt(std::numbers::pi);
  const Quadrature rule = gauss_legendre(128, -kFar, kFar);
  double sum = 0;
  for (std::size_t i = 0; i < rule.nodes.size(); ++i) {
    const double f = normal_cdf(rule.nodes[i]);
    sum += rule.weights[i] * (1 - std::pow(f, n) - std::pow(1 - f, n));
  }
  return sum;
}

double d3_factor(int n) {
  require(n >= 2, "d3 needs samples of at least 2");
  if (n == 2) return std::sqrt(2 - 4 / std::numbers::pi);
  const double d2 = d2_factor(n);
  return std::sqrt(mean_squared_range(n) - d2 * d2);
}

}  // namespace evenfeed
