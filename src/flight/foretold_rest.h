// SPDX-License-Identifier: MIT
// Where other balls jump about, a track loses its ball at the bounce and goes
// on with another, and what was seen of the feed after it lies in pieces of
// other tracks. The feeds that were seen whole tell what a bounce does, so a
// flight up to its bounce foretells the rest of it.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Gives feeds that were seen less than three times after their bounce the
/// sightings that lie where they were foretold, one after the other, each
/// narrowing where the next must be. They are taken out of where they were: the
/// feed's own track, strays, what came back from feeds, what other feeds do not
/// use. Three must be found, and the flight must bear them. `options` must
/// carry what the session's feeds share. Returns how many feeds of `found` had
/// nothing else and are gone.
[[nodiscard]] int find_foretold_rests(std::vector<FoundFeed>& found,
                                      std::vector<Track>& strays,
                                      const CameraModel& camera,
                                      const FlightOptions& options);

}  // namespace evenfeed
