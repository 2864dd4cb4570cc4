// SPDX-License-Identifier: MIT
// What a detector would see of a random world's balls.
#pragma once

#include "bench/world_balls.h"
#include "geometry/sighting.h"

#include <vector>

namespace evenfeed {

/// How often a ball was seen on its way.
struct SeenCount {
  int before = 0;  ///< its first touch of anything
  int after = 0;   ///< that, and before its second
  int below = 0;   ///< of those after, well below the table's top
};

struct WorldSightings {
  std::vector<Sighting> sightings;  ///< times as the told shutter has them
  std::vector<SeenCount> seen;      ///< ball by ball
};

/// A ball is seen where the light of its way during the exposure of its row is
/// centred; noise, misses, outliers and strays as the world's eyes have them.
WorldSightings look(const RandomWorld& world,
                    const std::vector<WorldBall>& balls);

}  // namespace evenfeed
