// SPDX-License-Identifier: MIT
// Draws moving things into a picture in linear light: the ball as a shaded
// sphere averaged over the time each of its rows is exposed, and its shadow.
#pragma once

#include "simulate/backdrop.h"
#include "simulate/ball_sight.h"

#include <vector>

#include <opencv2/core.hpp>

namespace evenfeed {

/// The picture that is being made and what stands before and behind.
struct Canvas {
  const Scene& scene;
  const Hall& hall;
  const Backdrop& backdrop;
  cv::Mat3f& light;
  /// Part of the pixel taken by an arm nearer than this depth; empty when no
  /// arm is in the picture.
  cv::Mat1f arm_cover;
  cv::Mat1f arm_depth_m;
};

/// Draws the ball as exposed in the frame stamped t_frame_s. Gives the part of
/// the picture it changed (empty when it is out of the picture).
cv::Rect draw_ball(Canvas& canvas, const BallPath& path, double t_frame_s);

}  // namespace evenfeed
