// SPDX-License-Identifier: MIT
// Sightings of one moving thing, in order of time.
#pragma once

#include "geometry/sighting.h"

#include <vector>

namespace evenfeed {

struct Track {
  std::vector<Sighting> sightings;

  double start_s() const { return sightings.front().t_s; }
  double end_s() const { return sightings.back().t_s; }
};

}  // namespace evenfeed
