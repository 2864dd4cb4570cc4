// SPDX-License-Identifier: MIT
// Whose is a sighting at the turn? Tracks are parted where the way along the
// table is longest, and a ball that was sent back just before a picture is
// farther there than in the one before: its first sighting as a return counts
// as the feed's last. Lift and kick bend to it in every feed alike, so neither
// residuals nor the other feeds give it away. The return does: carried back to
// that picture, it leads to the sighting, and no feed's own sighting lies there
// unless it is at the sample itself.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Gives each return the last sightings of its feed that lie on its way, and
/// fits such a feed again without them. Needs a return of 4 sightings or more
/// that begins within two pictures of the feed's end.
void give_returns_their_first(std::vector<FoundFeed>& found,
                              const CameraModel& camera,
                              const FlightOptions& options);

}  // namespace evenfeed
