// SPDX-License-Identifier: MIT
#include "flight/carries_on.h"

#include <algorithm>

namespace evenfeed {
namespace {

bool carries_on(const Track& track,
                const Track& other,
                const CameraModel& camera) {
  constexpr double kUnseen_s = 0.6;
  constexpr double kOverlap_s = 0.1;
  constexpr double kPart = 0.04;  // of the picture
  const double near_px = kPart * std::max(camera.width_px, camera.height_px);
  const double gap_s = track.start_s() - other.end_s();
  return other.start_s() < track.start_s() && gap_s > -kOverlap_s &&
         gap_s < kUnseen_s &&
         (track.sightings.front().centre_px - other.sightings.back().centre_px)
                 .norm() < near_px;
}

}  // namespace

bool carries_on(const Track& track,
                const std::vector<Track>& others,
                const CameraModel& camera) {
  return std::any_of(others.begin(), others.end(), [&](const Track& other) {
    return carries_on(track, other, camera);
  });
}

bool carries_on_return(const Track& track,
                       const std::vector<FoundFeed>& found,
                       const CameraModel& camera) {
  return std::any_of(found.begin(), found.end(), [&](const FoundFeed& feed) {
    return carries_on(track, feed.returned, camera);
  });
}

}  // namespace evenfeed
