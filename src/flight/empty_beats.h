// SPDX-License-Identifier: MIT
// A launcher keeps time. Where a launch was due and no feed was found, what
// flew then was the launch, though nothing else of it is as it should be: a
// ball that came out aslant, was seen late, or cannot be followed.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// The times at which launches were due and no feed begins, s, in order: the
/// times where the first sightings of `starts_s` (of all feeds, any order)
/// leave out one beat or more between them. Empty unless four steps in five are
/// a beat, or several, to within a tenth of one.
[[nodiscard]] std::vector<double> empty_beats_s(std::vector<double> starts_s);

/// Moves into `found`, unfitted, with what became of it as its fit's message,
/// the longest of `strays` that begins when a launch was due and flies on; if
/// none does, the longest that begins where no other track has just ended.
/// Returns how many.
[[nodiscard]] int add_on_empty_beats(std::vector<FoundFeed>& found,
                                     const std::vector<Track>& strays,
                                     const CameraModel& camera,
                                     double net_x_m);

}  // namespace evenfeed
