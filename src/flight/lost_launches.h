// SPDX-License-Identifier: MIT
// Every launch is a row. A ball that falls into the net, drops at the mouth or
// is lost on its way makes no feed, but it was a trial: somebody counted it.
// Among the tracks that are no feeds those are launches that begin at the
// mouth, as the session's feeds show it, and leave it in free flight.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Moves the launches among `strays` into `found`, unfitted, each with what
/// became of it as its fit's message. Needs five feeds that were seen whole to
/// know the mouth; with fewer nothing is added. Returns how many.
[[nodiscard]] int add_lost_launches(std::vector<FoundFeed>& found,
                                    const std::vector<Track>& strays,
                                    const CameraModel& camera,
                                    const FlightOptions& options,
                                    double net_x_m);

/// Takes out of `found` what begins after a feed has ended, long before the
/// next launch is due, and could not be fitted or, not from the mouth either,
/// was seen behind its bounce only: what the sample sent up comes down again
/// so. Of what could not be fitted, too, what was seen no more than
/// `fewest_sightings` times and begins beyond the net or is faster than what is
/// launched, and what begins elsewhere than at the mouth and was seen too
/// seldom to be fitted at all: pieces of balls that jump or roll on, and specks
/// that a track was led along. Needs to know the mouth as above. Returns how
/// many.
[[nodiscard]] int drop_what_was_not_launched(std::vector<FoundFeed>& found,
                                             const CameraModel& camera,
                                             const FlightOptions& options,
                                             double net_x_m,
                                             int fewest_sightings);

/// A launch that was not measured: its sightings, no flight, and for a message
/// what became of the ball as far as its track shows: "dropped at the
/// launcher", "stopped at the net", "left the picture before its bounce" or
/// "lost before its bounce".
[[nodiscard]] FoundFeed unmeasured_launch(const Track& track,
                                          const CameraModel& camera,
                                          double net_x_m);

}  // namespace evenfeed
