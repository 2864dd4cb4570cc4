// SPDX-License-Identifier: MIT
// Which sightings were seen together, when nobody says which frame they are of.
#pragma once

#include "geometry/sighting.h"

#include <vector>

namespace evenfeed {

/// The step from frame to frame, s, of sightings in order of time: that whose
/// multiples the gaps between sightings are, whatever was seen in between.
/// (The largest step with nearly the greatest mean cosine of 2 pi gap / step;
/// a rolling shutter stamps the rows of one frame apart, so the gaps scatter.)
/// 1 ms of fewer than two sightings.
double frame_step_s(const std::vector<Sighting>& sorted);

/// Sightings frame by frame, in order of time: by their frame numbers where all
/// carry one, else by frame_step_s.
std::vector<std::vector<Sighting>> by_frames(std::vector<Sighting> sightings);

}  // namespace evenfeed
