// SPDX-License-Identifier: MIT
// A fitted flight whose bounce was heard as well (heard_time.h). The time of
// the bounce is one of the flight's own unknowns. From overhead the picture
// knows the bounce's place along the table from its time only, so that is where
// most is gained.
#pragma once

#include "flight/heard_time.h"

namespace evenfeed {

/// with_heard_time() of the bounce. Not used where the fit failed or no bounce
/// was seen either.
[[nodiscard]] HeardFlight with_heard_bounce(
    const FlightFit& fit,
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    double heard_s,
    double sigma_s);

}  // namespace evenfeed
