// SPDX-License-Identifier: MIT
// How much a value counts that lies away from what a fit expects.
#pragma once

#include <cmath>

namespace evenfeed {

/// Cauchy's is 95 % efficient with this (Holland and Welsch 1977).
inline constexpr double kCauchyTuning_sigma = 2.385;

/// Weight of a value so many sigmas off.
inline double cauchy_weight(double misfit_sigma) {
  const double z = misfit_sigma / kCauchyTuning_sigma;
  return 1 / (1 + z * z);
}

/// What is least where values with these weights have settled.
inline double cauchy_loss(double misfit_sigma) {
  const double z = misfit_sigma / kCauchyTuning_sigma;
  return kCauchyTuning_sigma * kCauchyTuning_sigma * std::log1p(z * z);
}

}  // namespace evenfeed
