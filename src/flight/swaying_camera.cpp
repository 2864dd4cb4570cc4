// SPDX-License-Identifier: MIT
#include "flight/swaying_camera.h"

#include "base/parallel.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace evenfeed {
namespace {

using Shift = std::function<Eigen::Vector2d(const Sighting&)>;

// The sway that the residuals do not show, over all of it.
double hidden_part(const std::vector<FoundFeed>& found,
                   const CameraSway& sway) {
  std::vector<double> rms_px;
  for (const FoundFeed& feed : found) {
    if (feed.fit.ok()) rms_px.push_back(feed.fit.rms_px);
  }
  if (rms_px.empty()) return 0;
  const double shown = median(rms_px) / sway.shift_px;
  return std::sqrt(std::max(0.0, 1 - shown * shown));
}

// By how much the fitted flight moves when its sightings are shifted.
FlightVector moved_by(const FoundFeed& feed,
                      const CameraModel& camera,
                      const FlightOptions& options,
                      const Shift& shift) {
  std::vector<Sighting> shifted = feed.sightings;
  for (Sighting& s : shifted) s.centre_px += shift(s);
  const FlightFit fit =
      refine_flight(shifted, camera, options, feed.fit.parameters);
  return fit.ok() ? FlightVector(fit.parameters - feed.fit.parameters)
                  : FlightVector(FlightVector::Zero());
}

void widen(FoundFeed& feed,
           const CameraModel& camera,
           const FlightOptions& options,
           const CameraSway& sway) {
  const double middle_s =
      (feed.sightings.front().t_s + feed.sightings.back().t_s) / 2;
  FlightCovariance added = FlightCovariance::Zero();
  for (const Eigen::Vector2d& axis :
       {Eigen::Vector2d(1, 0), Eigen::Vector2d(0, 1)}) {
    const auto add = [&](const Shift& shift) {
      const FlightVector moved = moved_by(feed, camera, options, shift);
      added += moved * moved.transpose();
    };
    add([&](const Sighting&) { return Eigen::Vector2d(sway.shift_px * axis); });
    add([&](const Sighting& s) {
      return Eigen::Vector2d(sway.drift_px_s * (s.t_s - middle_s) * axis);
    });
  }
  feed.fit.covariance += added;
}

}  // namespace

void allow_for_sway(std::vector<FoundFeed>& found,
                    const CameraModel& camera,
                    const FlightOptions& options,
                    const CameraSway& sway) {
  if (sway.shift_px <= 0) return;
  const double part = hidden_part(found, sway);
  if (part == 0) return;
  const CameraSway hidden{part * sway.shift_px, part * sway.drift_px_s};
  for_each_index(found.size(), [&](std::size_t i) {
    if (found[i].fit.ok()) widen(found[i], camera, options, hidden);
  });
}

}  // namespace evenfeed
