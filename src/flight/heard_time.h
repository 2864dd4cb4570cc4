// SPDX-License-Identifier: MIT
// A fitted flight of which a moment was heard as well. The flight's unknowns p,
// with covariance P, say that it happened at t(p), with slope g; a time z that
// was heard, with variance R, moves all of them (linear least squares, as one
// more residual would):
//
//   K = P g / (g^T P g + R),   p' = p + K (z - t(p)),   P' = P - K g^T P
//
// The uncertainty of the sound's clock is common to all feeds heard and is left
// out of R: it adds K K^T s^2 to what a session leaves uncertain in all alike.
#pragma once

#include "flight/trajectory_fit.h"

#include <string>
#include <string_view>

namespace evenfeed {

/// What a flight says of a moment, before it is heard.
struct SeenTime {
  double t_s = 0;
  double variance_s2 = 0;                      ///< g^T P g
  FlightVector column = FlightVector::Zero();  ///< P g
};

struct HeardFlight {
  bool used = false;
  std::string why_not;  ///< in words, when it was not
  FlightFit fit;        ///< as it was, where it was not used
  FlightVector gain = FlightVector::Zero();  ///< K: per second of the clock
};

/// `heard_s` by the picture's clock, its sd without the clock's; `what` was
/// heard, in words ("the bounce"). Not used where sound and sight contradict
/// each other, and where the flight so moved explains its sightings worse than
/// linear least squares promises: sight wins.
[[nodiscard]] HeardFlight with_heard_time(
    const FlightFit& fit,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    std::string_view what,
    const SeenTime& seen,
    double heard_s,
    double sigma_s);

}  // namespace evenfeed
