// SPDX-License-Identifier: MIT
// A sparse or awkwardly seen feed may have two flights that explain it almost
// equally well. The other feeds of the session say which kind of flight this
// launcher makes: a feed that lies far from them is tried again from there.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Replaces the fit of a feed far from the session's middle when a flight
/// nearer to it explains the sightings about as well. The session only chooses
/// between flights; it does not pull on any of them, so a true mis-feed keeps
/// its numbers. Does nothing with fewer than 5 measured feeds.
void look_again(std::vector<FoundFeed>& found,
                const CameraModel& camera,
                const FlightOptions& options);

}  // namespace evenfeed
