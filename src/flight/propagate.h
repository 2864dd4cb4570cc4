// SPDX-License-Identifier: MIT
// Linear propagation of uncertainty (JCGM 100:2008, 5.2) from a flight's
// parameters to what is read off it: s_y^2 = |R^T g|^2 for a covariance R R^T,
// with g by central differences of a tenth of a sigma.
#pragma once

#include "flight/flight_model.h"

#include <array>
#include <tuple>

namespace evenfeed {

/// A root of the covariance of values_of(p), an array of doubles: a row per
/// value, NaN where a value is not known on both sides of p.
template <typename ValuesOf, typename Root>
auto propagated_root(const FlightVector& p,
                     const Root& root,
                     const ValuesOf& values_of) {
  constexpr double kStep = 0.1;
  constexpr auto kValues =
      static_cast<int>(std::tuple_size_v<decltype(values_of(p))>);
  Eigen::Matrix<double, kValues, Eigen::Dynamic> slopes(kValues, root.cols());
  for (Eigen::Index k = 0; k < root.cols(); ++k) {
    const FlightVector delta = kStep * root.col(k);
    const auto up = values_of(p + delta);
    const auto down = values_of(p - delta);
    for (int i = 0; i < kValues; ++i) {
      const auto at = static_cast<std::size_t>(i);
      slopes(i, k) = (up[at] - down[at]) / (2 * kStep);
    }
  }
  return slopes;
}

/// Standard uncertainties of the same values.
template <typename ValuesOf, typename Root>
auto propagated_sigmas(const FlightVector& p,
                       const Root& root,
                       const ValuesOf& values_of) {
  const auto slopes = propagated_root(p, root, values_of);
  decltype(values_of(p)) sigmas;
  for (std::size_t i = 0; i < sigmas.size(); ++i) {
    sigmas[i] = slopes.row(static_cast<Eigen::Index>(i)).norm();
  }
  return sigmas;
}

}  // namespace evenfeed
