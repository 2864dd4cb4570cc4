// SPDX-License-Identifier: MIT
// Close to the table a ball meets its own shadow in the picture, and the centre
// of both is not the ball's: there sightings scatter more. How much more is
// told by the residuals of all feeds.
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Widens the sigmas of sightings near the bounce by the ratio of the residuals
/// there, in sigmas, to those elsewhere, and returns it; 1 (nothing is changed)
/// when they scatter no more or are too few to tell. A fit absorbs part of its
/// residuals: once is too little, refit and do it again.
double trust_less_near_bounce(std::vector<FoundFeed>& found,
                              const CameraModel& camera,
                              const FlightOptions& options);

}  // namespace evenfeed
