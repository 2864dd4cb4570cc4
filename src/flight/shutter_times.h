// SPDX-License-Identifier: MIT
// What a film does not say about its shutter, read from the feeds: how long it
// is open. How long the rows take to be read cannot be had this way: it
// stretches time along the rows, as a little lift would, and lift is free.
#pragma once

#include "flight/feed_finder.h"

#include <optional>
#include <vector>

namespace evenfeed {

/// Exposure from the streaks, with its standard uncertainty, s: from the
/// squares of their lengths along the way less those across it, which noise
/// alone makes, over the fitted speed in the picture. A streak much shorter
/// than the ball hardly shows: what a film may have in it then is halved.
/// nullopt with fewer than ten streaks.
[[nodiscard]] std::optional<Prior> exposure_from_streaks(
    const std::vector<FoundFeed>& found,
    const CameraModel& camera,
    const FlightOptions& options);

/// Moves the times of all sightings, those of `strays` too, to the middle of a
/// new exposure and a new readout, and the camera with them. What is not known
/// counts as none.
void restamp(std::vector<FoundFeed>& found,
             std::vector<Track>& strays,
             CameraModel& camera,
             std::optional<double> exposure_s,
             std::optional<double> readout_s);

}  // namespace evenfeed
