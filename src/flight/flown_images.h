// SPDX-License-Identifier: MIT
// Where a ball was not seen beside its image in a glossy table, the image alone
// makes a track. The ball's flight, once it is known, tells where that is.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Of a session over a table that is known to be glossy: takes out the feeds
/// that could not be fitted, and the strays, that are images of feeds that were
/// fitted. How many feeds.
int drop_flown_images(std::vector<FoundFeed>& found,
                      std::vector<Track>& strays,
                      const CameraModel& camera,
                      const FlightOptions& options);

}  // namespace evenfeed
