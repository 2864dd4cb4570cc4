// SPDX-License-Identifier: MIT
// The ball's shadow on what is below it.
#pragma once

#include "simulate/ball_picture.h"

#include <vector>

namespace evenfeed {

/// Darkens table and floor under and behind the ball.
std::vector<cv::Rect> draw_ball_shadow(Canvas& canvas,
                                       const BallPath& path,
                                       double t_frame_s);

}  // namespace evenfeed
