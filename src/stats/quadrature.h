// SPDX-License-Identifier: MIT
// Gauss-Legendre quadrature: sum of weight * f(node) integrates polynomials
// up to degree 2n - 1 exactly.
#pragma once

#include <vector>

namespace evenfeed {

struct Quadrature {
  std::vector<double> nodes;
  std::vector<double> weights;
};

/// n >= 1 nodes on [low, high], ascending (Abramowitz and Stegun 25.4.29). n is
/// known when the program runs, so Boost's rules of fixed size do not serve.
[[nodiscard]] Quadrature gauss_legendre(int n, double low, double high);

}  // namespace evenfeed
