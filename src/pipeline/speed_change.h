// SPDX-License-Identifier: MIT
// A film whose speed changes on the way, as telephones make them: natural, then
// eight times slower, then natural again. What flies in the slowed part is no
// feed by gravity, so nothing would be said of it but that it was no feed.
//
// What is left of the sightings between the feeds that were measured is
// measured again by itself at other time scales (time_scale.h). It is a part
// that plays at another speed when one of them explains most of it.
#pragma once

#include "pipeline/time_scale.h"

namespace evenfeed {

struct SpeedChange {
  TimeScale scale;  ///< of the part
  double from_s = 0, until_s = 0;
  int feeds = 0;  ///< measured in it at that scale
};

/// `frames` of the film and what was measured of them; nullopt when all of it
/// plays at one speed, as far as can be told.
[[nodiscard]] std::optional<SpeedChange> find_speed_change(
    const std::vector<TimedFrame>& frames,
    const SessionFit& fit,
    const Bench& bench,
    const Profile& profile,
    const MeasureOptions& options);

/// A sentence with how to mend it.
[[nodiscard]] std::string speed_change_words(const SpeedChange& change);

}  // namespace evenfeed
