// SPDX-License-Identifier: MIT
// How much a value counts that lies away from what a fit expects.
#pragma once

namespace evenfeed {

/// Weight of a value so many sigmas off: Cauchy's, 95 % efficient at 2.385
/// sigma (Holland and Welsch 1977).
inline double cauchy_weight(double misfit_sigma) {
  constexpr double kTuning = 2.385;
  const double z = misfit_sigma / kTuning;
  return 1 / (1 + z * z);
}

}  // namespace evenfeed
