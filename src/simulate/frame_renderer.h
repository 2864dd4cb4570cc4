// SPDX-License-Identifier: MIT
// Makes the frames of a film one by one. Only what changed against the
// backdrop is drawn anew.
#pragma once

#include "film/yuv_picture.h"
#include "simulate/ball_sight.h"
#include "simulate/true_feeds.h"

#include <memory>

namespace evenfeed {

/// Stamps of the frames, first 0: n / fps, less the dropped ones, plus jitter.
std::vector<double> frame_times(const Scene& scene, std::uint64_t seed);

class FrameRenderer {
 public:
  FrameRenderer(const Scene& scene, std::uint64_t seed);
  ~FrameRenderer();
  const std::vector<double>& times_s() const;
  const std::vector<TrueBall>& balls() const;
  /// The camera as it stands in a frame.
  CameraModel camera(int frame) const;
  /// Frames may be asked for in any order.
  YuvPicture render(int frame);
  /// The hall with nothing moving in it, with the noise of frame 0.
  YuvPicture render_empty();
  /// 0..1: how much of the ball's middle is seen in a frame, past the
  /// launcher, the table's edge, the net's mesh and an arm.
  double seen_part(const BallSight& sight, int frame) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace evenfeed
