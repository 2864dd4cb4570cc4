// SPDX-License-Identifier: MIT
// A person's arm that reaches in to load the launcher or clear the table.
#pragma once

#include "simulate/ball_picture.h"
#include "simulate/solids.h"

#include <vector>

namespace evenfeed {

/// One visit: in, stay, out.
struct ArmVisit {
  double start_s = 0;
  Eigen::Vector3d shoulder_m = Eigen::Vector3d::Zero();
  Eigen::Vector3d target_m = Eigen::Vector3d::Zero();
  static constexpr double kReach_s = 0.5;
  static constexpr double kStay_s = 0.6;

  bool active(double t_s) const {
    return t_s >= start_s && t_s <= start_s + 2 * kReach_s + kStay_s;
  }
  /// Sleeve, forearm and hand at a time of the visit.
  std::vector<Capsule> parts(double t_s) const;
};

std::vector<ArmVisit> arm_visits(const Scene& scene, std::uint64_t seed);

/// Draws the arm with its soft shadow on the table, and notes in the canvas
/// where it hides what lies behind. Gives the part of the picture it changed.
cv::Rect draw_arm(Canvas& canvas, const ArmVisit& visit, double t_frame_s);

}  // namespace evenfeed
