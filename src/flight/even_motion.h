// SPDX-License-Identifier: MIT
// Whether a track may be a ball's at all, by its steps in the picture alone:
// costs next to nothing beside a fit.
#pragma once

#include "geometry/sighting.h"

#include <vector>

namespace evenfeed {

/// Noise leaps to and fro, a ball does not but at its bounce: half of the
/// changes of its velocity in the picture are small beside it, or, where few
/// pictures show a ball turn at the top of its way, half of the changes of
/// those. False for fewer than 3 sightings or when times do not rise.
[[nodiscard]] bool moves_evenly(const std::vector<Sighting>& seen);

}  // namespace evenfeed
