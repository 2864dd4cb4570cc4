// SPDX-License-Identifier: MIT
#include "flight/shutter_times.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

// Speed of the fitted flight in the picture at a sighting, px/s.
double picture_speed(const FlightVector& p,
                     const FlightOptions& options,
                     const CameraModel& camera,
                     double t_s) {
  constexpr double kStep_s = 1e-4;
  const Arc arc = t_s < p[kTimeOfBounce] ? Arc::kIn : Arc::kOut;
  const auto a =
      camera.project(flight_state(p, options, arc, t_s - kStep_s).x_m);
  const auto b =
      camera.project(flight_state(p, options, arc, t_s + kStep_s).x_m);
  return a && b ? (*b - *a).norm() / (2 * kStep_s) : 0;
}

}  // namespace

std::optional<double> exposure_from_streaks(const std::vector<FoundFeed>& found,
                                            const CameraModel& camera,
                                            const FlightOptions& options,
                                            double least_s) {
  constexpr std::size_t kFewest = 10;
  std::vector<double> exposures;
  for (const FoundFeed& feed : found) {
    if (!feed.fit.ok()) continue;
    for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
      const Sighting& s = feed.sightings[i];
      if (!feed.fit.used[i] || s.cut_off) continue;
      const double speed =
          picture_speed(feed.fit.parameters, options, camera, s.t_s);
      if (speed > 0) exposures.push_back(s.streak_px.norm() / speed);
    }
  }
  if (exposures.size() < kFewest) return std::nullopt;
  const double exposure = median(exposures);
  if (exposure < least_s) return std::nullopt;
  return exposure;
}

void restamp(std::vector<FoundFeed>& found,
             CameraModel& camera,
             std::optional<double> exposure_s,
             std::optional<double> readout_s) {
  const double later_s =
      (exposure_s.value_or(0) - camera.exposure_or_zero_s()) / 2;
  const double slower_s = readout_s.value_or(0) - camera.readout_or_zero_s();
  for (FoundFeed& feed : found) {
    feed.for_each_sighting([&](Sighting& s) {
      s.t_s += later_s + s.centre_px.y() / camera.height_px * slower_s;
    });
    feed.fit.parameters[kTimeOfBounce] += later_s;
  }
  camera.exposure_s = exposure_s;
  camera.readout_s = readout_s;
}

}  // namespace evenfeed
