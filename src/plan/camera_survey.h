// SPDX-License-Identifier: MIT
// What one camera sees over the whole landing zone, and what it would see from
// elsewhere.
#pragma once

#include "geometry/landing_zone.h"
#include "plan/camera_bound.h"

#include <string>
#include <vector>

namespace evenfeed {

struct CameraSurveyOptions {
  CameraModel camera;  ///< its pose is that of the one camera
  Eigen::Vector3d target_m = Eigen::Vector3d::Zero();
  LandingZone zone;
  PlannedFeed feed;
  SightingPlan plan;
  /// Standard deviation of a bounce's time as it is heard: a third of a
  /// millisecond is what ticks of films are good for.
  double heard_sd_s = 3e-4;
  int along = 5;  ///< bounce places over the zone
  int across = 3;
  int places = 7;        ///< camera places along and across, over `reach`
  double reach_m = 2.5;  ///< how far to the side and along they go
  void check() const;
};

struct BouncePlace {
  Eigen::Vector2d bounce_m;
  CameraBound bound;
  CameraBound heard;  ///< with the film's sound
};

struct CameraPlace {
  Eigen::Vector3d eye_m;
  CameraBound bound;  ///< of a bounce in the middle of the zone
  CameraBound heard;  ///< with the film's sound
};

struct CameraSurvey {
  CameraBound middle;        ///< of a bounce in the middle of the landing zone
  CameraBound middle_heard;  ///< with the film's sound
  std::vector<BouncePlace> bounces;
  std::vector<CameraPlace> elsewhere;  ///< same height, lens and target
  std::vector<std::string> advice;
};

/// The bench's own camera place is not among `elsewhere`.
CameraSurvey survey_camera(const CameraSurveyOptions& options);

/// What a person should do about it, in words.
std::vector<std::string> camera_advice(const CameraSurveyOptions& options,
                                       const CameraSurvey& survey);

}  // namespace evenfeed
