// SPDX-License-Identifier: MIT
// What a film does not say about its shutter, read from the feeds: how long it
// is open. How long the rows take to be read cannot be had this way: it
// stretches time along the rows, as a little lift would, and lift is free.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Exposure from the streaks: the median of streak length over the fitted
/// speed in the picture. 0 when there are too few or it is below `least_s`.
double exposure_from_streaks(const std::vector<FoundFeed>& found,
                             const CameraModel& camera,
                             const FlightOptions& options,
                             double least_s);

/// Moves the sightings' times to the middle of a new exposure and a new
/// readout, and the camera with them.
void restamp(std::vector<FoundFeed>& found,
             CameraModel& camera,
             double exposure_s,
             double readout_s);

}  // namespace evenfeed
