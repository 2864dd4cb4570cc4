// SPDX-License-Identifier: MIT
// The innermost step of every fit of one flight.
#pragma once

#include "flight/flight_model.h"
#include "flight/flight_options.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"

#include <vector>

namespace evenfeed {

/// Leads `p` to the flight with the least sum of squares nearby: of the
/// sightings, each with its weight, and the priors. Ends after so many
/// iterations, or when a step changes nothing by more than a few hundredths of
/// a sigma.
void solve_flight(const std::vector<Sighting>& sightings,
                  const CameraModel& camera,
                  const FlightOptions& options,
                  const std::vector<double>& weights,
                  int iterations,
                  FlightVector& p);

}  // namespace evenfeed
