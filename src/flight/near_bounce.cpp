// SPDX-License-Identifier: MIT
#include "flight/near_bounce.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

double trust_less_near_bounce(std::vector<FoundFeed>& found,
                              const CameraModel& camera,
                              const FlightOptions& options) {
  constexpr double kNear_s = 0.06;
  constexpr double kCap = 9;  // squared sigmas: an outlier is no scatter
  constexpr double kEnough = 100;
  const auto near = [](const FoundFeed& feed, const Sighting& s) {
    return std::abs(s.t_s - feed.fit.parameters[kTimeOfBounce]) < kNear_s;
  };
  double sum[2] = {0, 0}, count[2] = {0, 0};
  for (const FoundFeed& feed : found) {
    if (!feed.whole()) continue;
    const auto residuals = flight_residuals_px(
        feed.sightings, camera, options, feed.fit.parameters);
    for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
      const Sighting& s = feed.sightings[i];
      if (!feed.fit.used[i]) continue;
      const double z2 = residuals[i].squaredNorm() / (s.sigma_px * s.sigma_px);
      sum[near(feed, s)] += std::min(kCap, z2);
      count[near(feed, s)] += 1;
    }
  }
  if (count[0] < kEnough || count[1] < kEnough) return 1;
  const double ratio = std::sqrt(sum[1] / count[1] / (sum[0] / count[0]));
  if (ratio <= 1) return 1;
  for (FoundFeed& feed : found) {
    if (!feed.fit.ok()) continue;
    for (Sighting& s : feed.sightings) {
      if (near(feed, s)) s.sigma_px *= ratio;
    }
  }
  return ratio;
}

}  // namespace evenfeed
