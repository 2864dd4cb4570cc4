// SPDX-License-Identifier: MIT
// A feed ends where it meets the sample. A sighting just behind the contact may
// have been taken for its last, and with a long exposure holds both ways in one
// streak: the second arc bends to it, and the contact with it. Once all returns
// together have told where the sample stands, such a sighting is later than the
// flight it bent can have arrived.
#pragma once

#include "flight/derive_feed.h"
#include "flight/feed_finder.h"
#include "flight/return_fit.h"

#include <vector>

namespace evenfeed {

/// Takes the last sightings that are later than the contact, or whose exposure
/// holds it, off the feeds that came back (`returns` in the order of `found`),
/// and fits these again. A feed that would lose more than two keeps all: then
/// it is the plane that is elsewhere. Returns how many lost some.
int end_at_contact(std::vector<FoundFeed>& found,
                   const std::vector<ReturnFit>& returns,
                   const CameraModel& camera,
                   const FlightOptions& options,
                   const FeedEnds& ends);

}  // namespace evenfeed
