// SPDX-License-Identifier: MIT
// What a swaying camera leaves uncertain in each feed. The sightings p_i of one
// flight are shifted together, by s + d (t_i - t_m), t_m their middle; the
// flight moves with them, and its covariance grows by
//
//   sum over both axes of  a a^T sd(s)^2 + b b^T sd(d)^2
//
// a and b the changes of the fitted parameters per shift and per drift, each
// from one fit of the shifted sightings. What moves within a flight shows in
// its residuals, which set the sightings' sigmas: that part of the sway is
// there already and is taken off.
#pragma once

#include "flight/feed_finder.h"
#include "geometry/camera_sway.h"

#include <vector>

namespace evenfeed {

/// Adds it to the covariance of every fit that is ok. Nothing without a sway.
void allow_for_sway(std::vector<FoundFeed>& found,
                    const CameraModel& camera,
                    const FlightOptions& options,
                    const CameraSway& sway);

}  // namespace evenfeed
