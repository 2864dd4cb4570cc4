// SPDX-License-Identifier: MIT
#include "flight/flown_images.h"

#include "flight/mirror_image.h"

#include <algorithm>

namespace evenfeed {
namespace {

constexpr double kShare = 0.7;   // of the sightings
constexpr double kNear_m = 0.1;  // flights are carried on to where it is seen
constexpr double kBefore_s = 0.5;

bool is_image(const Sighting& s,
              const FlightFit& flight,
              const CameraModel& camera,
              const FlightOptions& options) {
  const Eigen::Vector3d ball_m =
      flight_state(flight.parameters, options, s.t_s).x_m;
  if (ball_m.z() <= 0) return false;
  const Eigen::Vector3d image_m = mirrored(ball_m);
  const auto there_px = camera.project(image_m);
  if (!there_px) return false;
  const double near_px = kNear_m * camera.px_per_m(image_m);
  return (*there_px - s.centre_px).norm() < near_px;
}

bool is_image(const std::vector<Sighting>& seen,
              const FoundFeed& feed,
              const CameraModel& camera,
              const FlightOptions& options) {
  if (seen.back().t_s < feed.sightings.front().t_s - kBefore_s ||
      seen.front().t_s > feed.fit.end_s) {
    return false;
  }
  const auto near =
      std::count_if(seen.begin(), seen.end(), [&](const Sighting& s) {
        return is_image(s, feed.fit, camera, options);
      });
  return static_cast<double>(near) >= kShare * static_cast<double>(seen.size());
}

}  // namespace

int drop_flown_images(std::vector<FoundFeed>& found,
                      std::vector<Track>& strays,
                      const CameraModel& camera,
                      const FlightOptions& options) {
  const auto of_any = [&](const std::vector<Sighting>& seen) {
    return std::any_of(found.begin(), found.end(), [&](const FoundFeed& feed) {
      return feed.whole() && is_image(seen, feed, camera, options);
    });
  };
  std::erase_if(strays,
                [&](const Track& track) { return of_any(track.sightings); });
  std::vector<char> images(found.size(), 0);
  for (std::size_t i = 0; i < found.size(); ++i) {
    images[i] = !found[i].whole() && of_any(found[i].sightings);
  }
  return drop_marked(found, images);
}

}  // namespace evenfeed
