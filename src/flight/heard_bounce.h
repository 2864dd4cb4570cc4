// SPDX-License-Identifier: MIT
// A fitted flight whose bounce was heard as well. The time of the bounce t_b is
// one of the flight's unknowns p with covariance P; a time z of it that was
// heard, with variance R, moves all of them (linear least squares, as one more
// residual would):
//
//   K = P e / (e^T P e + R),   p' = p + K (z - t_b),   P' = P - K e^T P
//
// e picks t_b. From overhead the picture knows the bounce's place along the
// table from its time only, so that is where most is gained. The uncertainty of
// the sound's clock is common to all feeds heard and is left out of R: it adds
// K K^T s^2 to what a session leaves uncertain in all alike.
#pragma once

#include "flight/trajectory_fit.h"

#include <string>

namespace evenfeed {

struct HeardFlight {
  bool used = false;
  std::string why_not;  ///< in words, when it was not
  FlightFit fit;        ///< as it was, where it was not used
  FlightVector gain = FlightVector::Zero();  ///< K: per second of the clock
};

/// `heard_s` by the picture's clock, its sd without the clock's. Not used where
/// the fit failed or no bounce was seen, and where the flight so moved explains
/// its sightings worse than linear least squares promises: sight wins.
[[nodiscard]] HeardFlight with_heard_bounce(
    const FlightFit& fit,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    double heard_s,
    double sigma_s);

}  // namespace evenfeed
