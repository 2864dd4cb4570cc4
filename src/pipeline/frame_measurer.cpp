// SPDX-License-Identifier: MIT
#include "pipeline/frame_measurer.h"

#include "geometry/steady_view.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kLostTooLong_s = 5;
constexpr double kLostTooMuch = 0.1;      // of a film
constexpr double kWorthTelling_px = 0.5;  // of a sway

// The flight as the film shows it, by how the camera stood at the time.
void place_in_film(const std::vector<CameraStance>& stances,
                   const CameraModel& calibrated,
                   double height_m,
                   std::vector<FlownFeed>& feeds) {
  for (const CameraStance& stance : stances) {
    const SteadyView as_filmed(stance.camera, calibrated, height_m);
    for (FlownFeed& feed : feeds) {
      for (FlownPoint& point : feed.path) {
        if (point.t_s < stance.from_s) continue;
        point.film_px = as_filmed(point.place_px);
      }
    }
  }
}

void tell_moves(const CameraWatch& watch,
                const std::vector<CameraStance>& stances,
                const Bench& bench,
                const Profile& profile,
                const MeasureOptions& options,
                Measurement& result) {
  result.camera_moves = camera_moves(bench.camera, stances, profile.surface);
  note_moves(stances, options.detector.background.settle_s, result.fit.feeds);
  std::vector<std::string>& warnings = result.fit.warnings;
  for (std::string& words : words_on_moves(result.camera_moves)) {
    warnings.push_back(std::move(words));
  }
  const double sway_px = watch.sway().shift_px;
  if (sway_px > kWorthTelling_px) {
    warnings.push_back(fmt::format(
        "the camera sways by {:.1f} px beside what could be followed: every "
        "feed is stated as that much less certain. Fix its mount, and turn "
        "digital stabilisation off",
        sway_px));
  }
  if (!watch.watching()) {
    warnings.emplace_back(
        "too little of the surface's lines is seen to notice whether the "
        "camera was moved");
  }
  const double every_s = options.watch.every_s;
  const int noted = note_lost(watch.lost_at_s(), every_s, result.fit.feeds);
  const double lost_s = every_s * static_cast<double>(watch.lost_at_s().size());
  const double most_s =
      std::min(kLostTooLong_s, kLostTooMuch * result.duration_s);
  if (noted > 0 || lost_s > most_s) {
    warnings.push_back(fmt::format(
        "for {:.0f} s the surface's lines could not be found: hidden, or the "
        "camera was moved far (feeds measured then: {})",
        lost_s,
        noted));
  }
}

}  // namespace

FrameMeasurer::FrameMeasurer(const Bench& bench,
                             const Profile& profile,
                             const MeasureOptions& options)
    : bench_(bench),
      profile_(profile),
      options_(options),
      steady_(bench.camera,
              profile.flight.ball.radius_m,
              options.detector.background.settle_s),
      feeds_(bench, profile, options) {}

void FrameMeasurer::add(FrameSightings frame) {
  feeds_.note_clock(frame.t_s, frame.s_t_s);
  steady_.add(std::move(frame));
  measure_settled();
}

void FrameMeasurer::end(WatchNews last) {
  steady_.finish(std::move(last));
  measure_settled();
}

void FrameMeasurer::measure_settled() {
  while (const auto frame = steady_.next()) {
    feeds_.add_frame(frame->t_s, frame->sightings);
    settled_s_ = frame->t_s;
  }
}

std::vector<double> FrameMeasurer::note_joins(std::vector<double> joins_s) {
  constexpr double kDated_s = 1;  // a knock, by looks half a second apart
  std::erase_if(joins_s, [&](double join_s) {
    return std::any_of(steady_.stances().begin(),
                       steady_.stances().end(),
                       [&](const CameraStance& stance) {
                         return stance.from_s > 0 &&
                                std::abs(stance.from_s - join_s) < kDated_s;
                       });
  });
  feeds_.note_joins(joins_s);
  return joins_s;
}

Measurement FrameMeasurer::finish(const CameraWatch& watch, double slow) {
  Measurement result = feeds_.finish(watch.sway());
  result.slow = slow;
  place_in_film(steady_.stances(),
                bench_.camera,
                profile_.flight.ball.radius_m,
                result.fit.flown);
  feeds_.tell_time_scale(slow, result);
  tell_moves(watch, steady_.stances(), bench_, profile_, options_, result);
  return result;
}

}  // namespace evenfeed
