// SPDX-License-Identifier: MIT
// Seen from low down along the table, the way in the picture turns at the
// bounce as if the ball came back: the track ends there, and the rest is taken
// for a return, for a stray or for a feed of its own. Only a flight in space
// tells: what makes a whole flight together with a piece is its rest.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Gives feeds without a seen bounce the rest of their flight, where there is
/// one among what came back from them, among `strays` or among the other
/// pieces, and takes it out there. Returns how many pieces in `found` were the
/// rest of another.
[[nodiscard]] int take_in_rests(std::vector<FoundFeed>& found,
                                std::vector<Track>& strays,
                                const CameraModel& camera,
                                const FlightOptions& options);

}  // namespace evenfeed
