// SPDX-License-Identifier: MIT
// How large the residuals of a session's sightings are beside what was stated
// of them, and how they hang together along a flight.
#pragma once

#include <vector>

namespace evenfeed {

struct ResidualScatter {
  double scatter = 1;              ///< rms, in stated sigmas
  double sightings_per_error = 1;  ///< 1 + 2 (r_1 + r_2 + ...)
};

/// `residuals`: per flight u and v of each sighting in order of time, in
/// sigmas; `freedom`: degrees of freedom that are left beside all unknowns.
/// r_k are the autocorrelations as long as they are positive, outliers left
/// out. Where too little is left to say, both are 1.
[[nodiscard]] ResidualScatter residual_scatter(
    const std::vector<std::vector<double>>& residuals, double freedom);

}  // namespace evenfeed
