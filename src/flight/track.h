// SPDX-License-Identifier: MIT
// Sightings of one moving thing, in order of time.
#pragma once

#include "geometry/sighting.h"

#include <algorithm>
#include <iterator>
#include <vector>

namespace evenfeed {

/// A ball in flight is about this high on average, m: good enough to tell which
/// way and how fast a track goes over the table.
inline constexpr double kTypicalHeight_m = 0.15;

struct Track {
  std::vector<Sighting> sightings;

  double start_s() const { return sightings.front().t_s; }
  double end_s() const { return sightings.back().t_s; }
};

/// Both in one, in order of time, as each of them is.
inline std::vector<Sighting> merged_in_time(const std::vector<Sighting>& a,
                                            const std::vector<Sighting>& b) {
  std::vector<Sighting> both;
  std::merge(a.begin(),
             a.end(),
             b.begin(),
             b.end(),
             std::back_inserter(both),
             [](const auto& x, const auto& y) { return x.t_s < y.t_s; });
  return both;
}

}  // namespace evenfeed
