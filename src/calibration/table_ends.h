// SPDX-License-Identifier: MIT
// Which end of the table is the receiving one. Most tables look the same from
// both ends, so the picture alone does not say: the user does (--launcher-end),
// or the balls do by the way they fly. A half table shows the receiving half.
#pragma once

#include "calibration/calibration.h"
#include "geometry/camera_model.h"

#include <optional>
#include <string>

#include <Eigen/Core>

namespace evenfeed {

struct EndChoice {
  bool half = false;               ///< only one half of the table is in view
  bool visible_end_is_far = true;  ///< of a half table, as solved so far
  LauncherEnd said = LauncherEnd::kNotSaid;
  /// Which way along x the balls fly, as the ends are named so far.
  std::optional<double> flight_along_x;
  int rotation_deg = 0;  ///< clockwise turn that shows the picture upright
};

struct EndDecision {
  bool turn = false;  ///< the two ends must change names
  bool wrong_half = false;
  std::string message;  ///< why it cannot be decided; empty when it can
};

EndDecision choose_end(const CameraModel& camera,
                       const Surface& surface,
                       const EndChoice& choice);

/// The camera with the table turned by 180 degrees about z beneath it.
CameraModel half_turn(const CameraModel& camera);

/// One of the two end lines is wholly outside the picture.
bool only_one_half(const RefinedCamera& fit,
                   const std::vector<SurfaceLine>& lines);
/// The end line at the largest x is in the picture.
bool far_end_in_view(const RefinedCamera& fit,
                     const std::vector<SurfaceLine>& lines);

/// A direction of the stored picture as the upright picture shows it.
Eigen::Vector2d as_shown(const Eigen::Vector2d& stored, int rotation_deg);

}  // namespace evenfeed
