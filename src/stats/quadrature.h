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

/// n >= 1 nodes on [low, high], ascending. Newton iteration on the Legendre
/// recurrence (Abramowitz and Stegun 25.4.29 and 22.7.10).
[[nodiscard]] Quadrature gauss_legendre(int n, double low, double high);

}  // namespace evenfeed
