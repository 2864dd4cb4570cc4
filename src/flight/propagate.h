// SPDX-License-Identifier: MIT
// Linear propagation of uncertainty (JCGM 100:2008, 5.2) from a flight's
// parameters to what is read off it: s_y^2 = |R^T g|^2 for a covariance R R^T,
// with g by central differences of a tenth of a sigma.
#pragma once

#include "flight/flight_model.h"

#include <array>
#include <cmath>

namespace evenfeed {

/// Standard uncertainties of all of values_of(p), an array of doubles; NaN
/// where a value is not known on both sides of p.
template <typename ValuesOf, typename Root>
auto propagated_sigmas(const FlightVector& p,
                       const Root& root,
                       const ValuesOf& values_of) {
  constexpr double kStep = 0.1;
  auto sum = values_of(p);
  sum.fill(0);
  for (Eigen::Index k = 0; k < root.cols(); ++k) {
    const FlightVector delta = kStep * root.col(k);
    const auto up = values_of(p + delta);
    const auto down = values_of(p - delta);
    for (std::size_t i = 0; i < sum.size(); ++i) {
      const double slope = (up[i] - down[i]) / (2 * kStep);
      sum[i] += slope * slope;
    }
  }
  for (double& value : sum) value = std::sqrt(value);
  return sum;
}

}  // namespace evenfeed
