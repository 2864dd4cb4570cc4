// SPDX-License-Identifier: MIT
// Where a ball is truly seen: its centre at mid-exposure of its own row.
#pragma once

#include "simulate/ball_path.h"

#include <optional>

namespace evenfeed {

struct BallSight {
  double t_s = 0;
  MovingBall state;
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  double diameter_px = 0;  ///< across the line of sight and the radius
};
std::optional<BallSight> see_ball(const Scene& scene,
                                  const BallPath& path,
                                  double t_frame_s);

}  // namespace evenfeed
