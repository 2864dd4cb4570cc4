// SPDX-License-Identifier: MIT
#include "flight/shutter_times.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

// Velocity of the fitted flight in the picture at a sighting, px/s.
Eigen::Vector2d picture_velocity(const FlightVector& p,
                                 const FlightOptions& options,
                                 const CameraModel& camera,
                                 double t_s) {
  constexpr double kStep_s = 1e-4;
  const Arc arc = t_s < p[kTimeOfBounce] ? Arc::kIn : Arc::kOut;
  const auto a =
      camera.project(flight_state(p, options, arc, t_s - kStep_s).x_m);
  const auto b =
      camera.project(flight_state(p, options, arc, t_s + kStep_s).x_m);
  if (!a || !b) return Eigen::Vector2d::Zero();
  return (*b - *a) / (2 * kStep_s);
}

// The streaks of a film. Lengths squared, s^2: along is the exposure's and the
// noise's, across the noise's alone.
struct Streaks {
  std::vector<double> along, across, px_per_s, diameter_px;
};

Streaks streaks_of(const std::vector<FoundFeed>& found,
                   const CameraModel& camera,
                   const FlightOptions& options) {
  Streaks all;
  for (const FoundFeed& feed : found) {
    if (!feed.fit.ok()) continue;
    for (std::size_t i = 0; i < feed.sightings.size(); ++i) {
      const Sighting& s = feed.sightings[i];
      const bool known = !s.streak_px.isZero(0);
      if (!feed.fit.used[i] || s.cut_off || !known) continue;
      const Eigen::Vector2d velocity =
          picture_velocity(feed.fit.parameters, options, camera, s.t_s);
      const double speed = velocity.norm();
      if (!(speed > 0)) continue;
      const double along_s = s.streak_px.dot(velocity) / (speed * speed);
      const double whole_s = s.streak_px.norm() / speed;
      all.along.push_back(along_s * along_s);
      all.across.push_back(whole_s * whole_s - along_s * along_s);
      all.px_per_s.push_back(speed);
      all.diameter_px.push_back(s.diameter_px);
    }
  }
  return all;
}

// Standard uncertainty of a film's streak length squared, px^2: shade and
// outline of the ball draw it out as a streak would. From 14 rendered films
// whose streaks are known (tests/bench/worlds): 0.01 of the diameter squared
// for streaks shorter than it, a few per cent of the long ones; a sharp edge of
// a small ball hides a pixel or two.
double square_doubt_px2(double diameter_px, double length_px2) {
  return std::hypot(0.012 * diameter_px * diameter_px, 0.1 * length_px2, 2.0);
}

}  // namespace

std::optional<Prior> exposure_from_streaks(const std::vector<FoundFeed>& found,
                                           const CameraModel& camera,
                                           const FlightOptions& options) {
  constexpr std::size_t kFewest = 10;
  const Streaks streaks = streaks_of(found, camera, options);
  if (streaks.along.size() < kFewest) return std::nullopt;
  const double px_per_s = median(streaks.px_per_s);
  const double length_px2 =
      px_per_s * px_per_s *
      std::max(0.0, median(streaks.along) - median(streaks.across));
  const double doubt_px2 =
      square_doubt_px2(median(streaks.diameter_px), length_px2);
  if (length_px2 > doubt_px2) {
    const double length_px = std::sqrt(length_px2);
    return Prior{length_px / px_per_s, doubt_px2 / (2 * length_px) / px_per_s};
  }
  // As likely nothing as the longest that would hide: evenly between.
  const double longest_px = std::sqrt(length_px2 + doubt_px2);
  return Prior{longest_px / 2 / px_per_s,
               longest_px / std::sqrt(12.0) / px_per_s};
}

void restamp(std::vector<FoundFeed>& found,
             std::vector<Track>& strays,
             CameraModel& camera,
             std::optional<double> exposure_s,
             std::optional<double> readout_s) {
  const double later_s =
      (exposure_s.value_or(0) - camera.exposure_or_zero_s()) / 2;
  const double slower_s = readout_s.value_or(0) - camera.readout_or_zero_s();
  const auto move = [&](Sighting& s) {
    s.t_s += later_s + s.centre_px.y() / camera.height_px * slower_s;
  };
  for (FoundFeed& feed : found) {
    feed.for_each_sighting(move);
    feed.fit.parameters[kTimeOfBounce] += later_s;
  }
  for (Track& stray : strays) {
    std::for_each(stray.sightings.begin(), stray.sightings.end(), move);
  }
  camera.exposure_s = exposure_s;
  camera.readout_s = readout_s;
}

}  // namespace evenfeed
