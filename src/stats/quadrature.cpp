// SPDX-License-Identifier: MIT
#include "stats/quadrature.h"

#include "base/check.h"

#include <cmath>
#include <numbers>

namespace evenfeed {
namespace {

struct Legendre {
  double value;
  double slope;
};

Legendre legendre(int n, double x) {
  double previous = 1;
  double current = x;
  for (int k = 2; k <= n; ++k) {
    const double next = ((2 * k - 1) * x * current - (k - 1) * previous) / k;
    previous = current;
    current = next;
  }
  return {current, n * (x * current - previous) / (x * x - 1)};
}

}  // namespace

Quadrature gauss_legendre(int n, double low, double high) {
  require(n >= 1, "a quadrature needs at least one node");
  Quadrature rule{std::vector<double>(static_cast<std::size_t>(n)),
                  std::vector<double>(static_cast<std::size_t>(n))};
  const double half = (high - low) / 2;
  const double middle = (high + low) / 2;
  for (int i = 0; i < n; ++i) {
    double x = -std::cos(std::numbers::pi * (i + 0.75) / (n + 0.5));
    Legendre p = legendre(n, x);
    for (int step = 0; step < 100; ++step) {
      const double change = p.value / p.slope;
      x -= change;
      p = legendre(n, x);
      if (std::abs(change) < 1e-15) break;
    }
    const auto k = static_cast<std::size_t>(i);
    rule.nodes[k] = middle + half * x;
    rule.weights[k] = half * 2 / ((1 - x * x) * p.slope * p.slope);
  }
  return rule;
}

}  // namespace evenfeed
