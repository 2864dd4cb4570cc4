// SPDX-License-Identifier: MIT
// What the net hides.
#pragma once

#include "geometry/surface.h"

#include <cmath>

#include <Eigen/Core>

namespace evenfeed {

/// Whether the line of sight from `eye_m` to `at_m` (table frame) passes
/// through the net, or by it within `margin_m`.
inline bool behind_net(const Net& net,
                       const Eigen::Vector3d& eye_m,
                       const Eigen::Vector3d& at_m,
                       double margin_m) {
  if (!net.present || (eye_m.x() - net.x_m) * (at_m.x() - net.x_m) >= 0) {
    return false;
  }
  const double t = (net.x_m - eye_m.x()) / (at_m.x() - eye_m.x());
  const Eigen::Vector3d through_m = eye_m + t * (at_m - eye_m);
  return std::abs(through_m.y()) < net.half_width_m + margin_m &&
         through_m.z() < net.height_m + margin_m;
}

}  // namespace evenfeed
