// SPDX-License-Identifier: MIT
// Balls that are no feeds: from a neighbouring table they hop over this one or
// roll over the floor.
#pragma once

#include "simulate/true_feeds.h"

#include <cstdint>
#include <vector>

namespace evenfeed {

/// How long the film is: as the scene says, or until the last feed is over.
double film_duration_s(const Scene& scene);

/// The strays of the film, at moments spread evenly at random over it.
std::vector<TrueBall> stray_balls(const Scene& scene, std::uint64_t seed);

}  // namespace evenfeed
