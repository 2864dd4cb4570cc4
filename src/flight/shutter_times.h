// SPDX-License-Identifier: MIT
// What a film does not say about its shutter, read from the feeds: how long it
// is open. How long the rows take to be read cannot be had this way: it
// stretches time along the rows, as a little lift would, and lift is free.
#pragma once

#include "flight/feed_finder.h"

#include <optional>
#include <vector>

namespace evenfeed {

/// Exposure from the streaks: the median of streak length over the fitted
/// speed in the picture. nullopt when there are too few or it is below
/// `least_s`.
[[nodiscard]] std::optional<double> exposure_from_streaks(
    const std::vector<FoundFeed>& found,
    const CameraModel& camera,
    const FlightOptions& options,
    double least_s);

/// Moves the sightings' times to the middle of a new exposure and a new
/// readout, and the camera with them. What is not known counts as none.
void restamp(std::vector<FoundFeed>& found,
             CameraModel& camera,
             std::optional<double> exposure_s,
             std::optional<double> readout_s);

}  // namespace evenfeed
