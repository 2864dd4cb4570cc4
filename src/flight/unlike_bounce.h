// SPDX-License-Identifier: MIT
// Two sightings after a bounce fit any second arc. Where one of them is the
// return's, or the bounce itself was not there, the flight holds the residuals
// of a good one, and its bounce a loss of speed that no other feed of the
// session has: by that it is told.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Refuses feeds (kPoorFit, with the reason in the message) that were seen only
/// twice after the bounce and whose share of speed kept there, along or
/// across the way they came, stands outside that of the session's others that
/// were seen better or, where these are too few, of all. Nothing when those are
/// too few, too.
void refuse_unlike_bounces(std::vector<FoundFeed>& found);

}  // namespace evenfeed
