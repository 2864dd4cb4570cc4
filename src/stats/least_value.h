// SPDX-License-Identifier: MIT
// The least value of a smooth function of one number x >= 0, for likelihoods
// of a variance whose best value may be 0: a scan over decades (and 0 itself),
// then Brent's method between the neighbours of the best point.
#pragma once

#include <functional>

namespace evenfeed {

struct LeastValue {
  double at = 0;  ///< exactly 0 when no x above it gives less
  double value = 0;
};

/// `scale` > 0: where the function is likely to change. The scan covers 1e-6
/// to 1e8 times it; f must be finite there and at 0.
[[nodiscard]] LeastValue least_value_above_zero(
    const std::function<double(double)>& f, double scale);

/// The least value between two points of a function with one minimum there, or
/// the lesser end, by Brent's method.
[[nodiscard]] LeastValue least_value_between(
    const std::function<double(double)>& f, double low, double high);

}  // namespace evenfeed
