// SPDX-License-Identifier: MIT
// A ball that is lost in mid-flight (behind the net, across another ball)
// leaves two tracks. When one of them carries a whole flight, the other is
// tried on it: what lies on that flight belongs to it.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Joins feeds without a seen bounce to the whole flight they lie on. Pieces
/// too short to be fitted that were seen while a whole flight was in the air,
/// and pieces that would bounce where and when it did, are taken for strays and
/// removed. Returns how many were strays.
[[nodiscard]] int reunite_pieces(std::vector<FoundFeed>& found,
                                 const CameraModel& camera,
                                 const FlightOptions& options);

}  // namespace evenfeed
