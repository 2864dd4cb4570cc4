// SPDX-License-Identifier: MIT
// Where the picture hardly shows when a ball bounced, the sum of squares has no
// parabola about its minimum but a valley that is flat to one side, or a second
// minimum: a ball seen from above that leaves the bounce along the line of
// sight, or that was lost a picture after it. The covariance is then far too
// small, since it knows the minimum's curvature only. So the valley is walked:
//
//   rise(k) = least cost of a flight that bounces k sigmas later (earlier)
//             - least cost,
//   s^2     = sum k^2 exp(-rise(k) / 2) / sum exp(-rise(k) / 2)
//
// in squares of the stated sigma: 1 for a parabola (profile likelihood, as the
// limits of MINUIT's MINOS: James and Roos 1975, Comput Phys Commun 10:343).
#pragma once

#include "flight/feed_finder.h"

#include <vector>

namespace evenfeed {

/// Widens the covariances of flights that lie in such a valley along the way
/// their parameters go with the bounce's time. `found` must carry covariances
/// as they are fitted.
void widen_in_flat_valleys(std::vector<FoundFeed>& found,
                           const CameraModel& camera,
                           const FlightOptions& options);

}  // namespace evenfeed
