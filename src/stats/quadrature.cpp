// SPDX-License-Identifier: MIT
#include "stats/quadrature.h"

#include "base/check.h"

#include <boost/math/special_functions/legendre.hpp>

namespace evenfeed {

Quadrature gauss_legendre(int n, double low, double high) {
  require(n >= 1, "a quadrature needs at least one node");
  const double half = (high - low) / 2;
  const double middle = (high + low) / 2;
  Quadrature rule;
  const auto add = [&](double x) {
    const double slope = boost::math::legendre_p_prime(n, x);
    rule.nodes.push_back(middle + half * x);
    rule.weights.push_back(half * 2 / ((1 - x * x) * slope * slope));
  };
  // Those from 0 on, ascending; the others mirror them.
  const std::vector<double> zeros = boost::math::legendre_p_zeros<double>(n);
  for (auto x = zeros.rbegin(); x != zeros.rend(); ++x) {
    if (*x > 0) add(-*x);
  }
  for (const double x : zeros) add(x);
  return rule;
}

}  // namespace evenfeed
