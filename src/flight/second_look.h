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

/// A track that ends close to the table looks as if it had a bounce in it when
/// its last sightings err. Fits the feeds again, from all starts, whose
/// sightings end less than 0.1 s after the bounce; a flight that bounced among
/// them must be likelier than one that bounced later by `least_gain` squared
/// sigmas.
void weigh_late_bounces(std::vector<FoundFeed>& found,
                        const CameraModel& camera,
                        const FlightOptions& options,
                        double least_gain);

}  // namespace evenfeed
