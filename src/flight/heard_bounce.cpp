// SPDX-License-Identifier: MIT
#include "flight/heard_bounce.h"

namespace evenfeed {

HeardFlight with_heard_bounce(const FlightFit& fit,
                              const std::vector<Sighting>& sightings,
                              const CameraModel& camera,
                              const FlightOptions& options,
                              double heard_s,
                              double sigma_s) {
  if (!fit.ok() || !fit.bounce_seen()) {
    HeardFlight unheard;
    unheard.fit = fit;
    unheard.why_not = "the bounce was not seen";
    return unheard;
  }
  const FlightVector column = fit.covariance.col(kTimeOfBounce);
  return with_heard_time(
      fit,
      sightings,
      camera,
      options,
      "the bounce",
      {fit.parameters[kTimeOfBounce], column[kTimeOfBounce], column},
      heard_s,
      sigma_s);
}

}  // namespace evenfeed
