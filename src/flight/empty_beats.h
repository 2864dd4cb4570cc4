// SPDX-License-Identifier: MIT
// A launcher keeps time. Where a launch was due and no feed was found, what
// flew then was the launch, though nothing else of it is as it should be: a
// ball that came out aslant, was seen late, or cannot be followed.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

struct LauncherBeat {
  double interval_s = 0;        ///< 0: it does not keep time
  std::vector<double> empty_s;  ///< when launches were due, in order
};

/// The launcher's beat, and the times at which launches were due and no feed
/// begins: where `starts_s` (of all feeds, any order: their first sightings, or
/// their bounces) leave out one beat or more between them. It keeps time if
/// four steps in five are a beat, or several, to within a tenth of one.
[[nodiscard]] LauncherBeat launcher_beat(std::vector<double> starts_s);

/// Moves into `found`, unfitted, with what became of it as its fit's message,
/// the longest of `strays` that begins when a launch was due and flies on; if
/// none does, the longest that begins where no other track has just ended and
/// moves evenly or was seen six times.
/// Returns how many.
[[nodiscard]] int add_on_empty_beats(std::vector<FoundFeed>& found,
                                     const std::vector<Track>& strays,
                                     const CameraModel& camera,
                                     double net_x_m);

}  // namespace evenfeed
