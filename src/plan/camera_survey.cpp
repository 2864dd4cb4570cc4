// SPDX-License-Identifier: MIT
#include "plan/camera_survey.h"

#include "base/check.h"
#include "base/units.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

double between(double low, double high, int i, int n) {
  return n == 1 ? (low + high) / 2 : low + (high - low) * i / (n - 1);
}

// With the picture's rows along the flight as far as that goes.
CameraModel camera_at(const CameraSurveyOptions& options,
                      const Eigen::Vector3d& eye_m) {
  CameraModel camera = options.camera;
  const Eigen::Vector3d up = Eigen::Vector3d::UnitY();
  camera.camera_from_table = look_at(eye_m, options.target_m, up);
  return camera;
}

Eigen::Vector2d middle_of(const LandingZone& zone) {
  return (zone.low_m + zone.high_m) / 2;
}

const CameraPlace* best_place(const CameraSurvey& survey) {
  const auto it = std::min_element(
      survey.elsewhere.begin(),
      survey.elsewhere.end(),
      [](const auto& a, const auto& b) { return a.bound.x_m < b.bound.x_m; });
  return it == survey.elsewhere.end() ? nullptr : &*it;
}

// Which tick is the bounce's is told by when it was seen to bounce; seen much
// worse than this, no tick is its own beyond doubt (hearing_test).
constexpr double kSeenWellEnough_s = 3e-3;

void advise_on_sound(const CameraSurveyOptions& options,
                     const CameraSurvey& survey,
                     std::vector<std::string>& advice) {
  constexpr double kWorthIt = 0.6;
  const CameraBound& seen = survey.middle;
  const CameraBound& heard = survey.middle_heard;
  if (!(seen.t_s < kSeenWellEnough_s) || heard.x_m > kWorthIt * seen.x_m) {
    return;
  }
  advice.push_back(
      fmt::format("Keep the film's sound: a bounce that is heard to {:.1f} ms "
                  "is known to {:.1f} mm along instead of {:.1f} mm.",
                  ms_from_s(options.heard_sd_s),
                  mm_from_m(heard.x_m),
                  mm_from_m(seen.x_m)));
}

}  // namespace

void CameraSurveyOptions::check() const {
  camera.check();
  feed.check();
  plan.check();
  require_positive(heard_sd_s, "heard_sd_s");
  require_in_range(along, 1, 50, "along");
  require_in_range(across, 1, 50, "across");
  require_in_range(places, 0, 50, "places");
  require_positive(reach_m, "reach_m");
}

CameraSurvey survey_camera(const CameraSurveyOptions& options) {
  options.check();
  CameraSurvey survey;
  const LandingZone& zone = options.zone;
  const Eigen::Vector2d middle_m = middle_of(zone);
  SightingPlan with_sound = options.plan;
  with_sound.heard_sd_s = options.heard_sd_s;
  const auto seen = [&](const CameraModel& camera, const Eigen::Vector2d& m) {
    return camera_bound(camera, m, options.feed, options.plan);
  };
  const auto heard = [&](const CameraModel& camera, const Eigen::Vector2d& m) {
    return camera_bound(camera, m, options.feed, with_sound);
  };
  survey.middle = seen(options.camera, middle_m);
  survey.middle_heard = heard(options.camera, middle_m);
  for (int i = 0; i < options.along; ++i) {
    for (int j = 0; j < options.across; ++j) {
      // Not on the very edge, where a feed hardly lands.
      const Eigen::Vector2d at_m(between(zone.low_m.x(),
                                         zone.high_m.x(),
                                         2 * i + 1,
                                         2 * options.along + 1),
                                 between(zone.low_m.y(),
                                         zone.high_m.y(),
                                         2 * j + 1,
                                         2 * options.across + 1));
      survey.bounces.push_back(
          {at_m, seen(options.camera, at_m), heard(options.camera, at_m)});
    }
  }
  const double height_m = options.camera.eye_in_table_m().z();
  for (int i = 0; i < options.places; ++i) {
    for (int j = 0; j < options.places; ++j) {
      const Eigen::Vector3d eye_m(
          middle_m.x() +
              between(-options.reach_m, options.reach_m, i, options.places),
          middle_m.y() - between(0, options.reach_m, j, options.places),
          height_m);
      const CameraModel there = camera_at(options, eye_m);
      survey.elsewhere.push_back(
          {eye_m, seen(there, middle_m), heard(there, middle_m)});
    }
  }
  survey.advice = camera_advice(options, survey);
  return survey;
}

std::vector<std::string> camera_advice(const CameraSurveyOptions& options,
                                       const CameraSurvey& survey) {
  std::vector<std::string> advice;
  const CameraBound& here = survey.middle;
  if (here.view == BounceView::kTooFew) {
    advice.push_back(
        "The bounce cannot be measured: fewer than two sightings before or "
        "after it fall inside the picture. Turn the camera, take a shorter "
        "lens or a higher rate.");
  }
  if (here.view == BounceView::kBlind) {
    advice.push_back(fmt::format(
        "Degenerate: the push of the table on the ball points almost at the "
        "camera, which sees {:.1f} % of it. When and how far along the ball "
        "bounces cannot be told from here{}. Move the camera to the side.",
        100 * here.push_seen,
        here.t_s < kSeenWellEnough_s
            ? " by sight"
            : ", nor which of the film's sounds is its own"));
  }
  if (here.view == BounceView::kWeak) {
    advice.push_back(fmt::format(
        "Weak: the camera looks nearly along the push of the table on the ball "
        "and sees {:.0f} % of it. From 30 to 45 degrees to the side of the "
        "flight it sees most of it.",
        100 * here.push_seen));
  }
  advise_on_sound(options, survey, advice);
  const CameraPlace* best = best_place(survey);
  if (best != nullptr && best->bound.x_m < 0.6 * here.x_m) {
    advice.push_back(fmt::format(
        "At the same height, {:.0f} mm along and {:.0f} mm across the table, "
        "the bounce would be known to {:.1f} mm along instead of {:.1f} mm.",
        mm_from_m(best->eye_m.x()),
        mm_from_m(best->eye_m.y()),
        mm_from_m(best->bound.x_m),
        mm_from_m(here.x_m)));
  }
  const double diameter_px = 2 * options.feed.ball_radius_m * here.px_per_m;
  if (diameter_px < 6) {
    advice.push_back(
        fmt::format("The ball is only {:.1f} px wide at the bounce; below 6 px "
                    "it is easily lost. Go nearer or take a longer lens.",
                    diameter_px));
  }
  if (here.streak_px > diameter_px) {
    advice.push_back(fmt::format(
        "During the exposure the ball moves {:.0f} px, more than its own "
        "width ({:.0f} px): shorten the exposure to {:.1f} ms and add light.",
        here.streak_px,
        diameter_px,
        ms_from_s(options.camera.exposure_or_zero_s()) * diameter_px /
            here.streak_px));
  }
  if (here.sightings_before >= 2 && here.sightings_before < 6) {
    advice.push_back(fmt::format(
        "Only {:.0f} sightings before the bounce: one that is missed costs "
        "much. A higher rate or a wider view helps.",
        here.sightings_before));
  }
  if (options.camera.readout_or_zero_s() > 0) {
    advice.push_back(
        "Rolling shutter: mount the camera with the rows of its picture along "
        "the flight, and give its readout time when measuring.");
  }
  return advice;
}

}  // namespace evenfeed
