// SPDX-License-Identifier: MIT
// A ball that dropped goes on rolling and jumping before the launcher, and so
// does one that came back: what begins where another track has just ended is no
// launch.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Whether `track` begins near where one of `others`, that began before it, was
/// seen last up to 0.6 s ago.
[[nodiscard]] bool carries_on(const Track& track,
                              const std::vector<Track>& others,
                              const CameraModel& camera);

/// The same of the feeds' returns.
[[nodiscard]] bool carries_on_return(const Track& track,
                                     const std::vector<FoundFeed>& found,
                                     const CameraModel& camera);

}  // namespace evenfeed
