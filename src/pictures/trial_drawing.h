// SPDX-License-Identifier: MIT
// Two trials in one picture: how each is drawn, and how two frames become one.
#pragma once

#include "flight/flown_feed.h"
#include "geometry/camera_model.h"
#include "pictures/drawing.h"
#include "pictures/feed_still.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// Told apart by colour, by line and by form.
struct TrialLook {
  cv::Scalar colour;
  bool dashed = false;
  BallForm form = BallForm::kRing;
  Eigen::Vector2d tag = Eigen::Vector2d::Zero();  ///< from a mark, in its radii
};
/// Yellow, solid, a ring; pink, dashed, a diamond.
[[nodiscard]] const std::array<TrialLook, 2>& trial_looks();

/// Where a ball is seen in a picture, and how large.
struct BallPlace {
  Eigen::Vector2d at_px = Eigen::Vector2d::Zero();
  double radius_px = 0;
};
[[nodiscard]] BallPlace ball_place(const FlownPoint& point,
                                   const CameraModel& camera,
                                   const PictureView& view);

/// The flight with its marks, `name` beside the highest place and the net.
void draw_trial(cv::Mat& picture,
                const std::vector<FlownPoint>& path,
                const PictureView& view,
                const TrialLook& look,
                const std::string& name);

/// A frame of a film, and the ball in it while it flies.
struct GhostLayer {
  cv::Mat picture;  ///< CV_8UC3, as large as the other
  std::optional<BallPlace> ball;
};
/// Half of each, but whole around the own ball; half again where both are.
[[nodiscard]] cv::Mat ghosts_of(const std::array<GhostLayer, 2>& layers);

/// One beside the other, as high; or below it, as wide. At most `most_px` in
/// either direction, which are even.
[[nodiscard]] cv::Mat side_by_side(const std::array<cv::Mat, 2>& pictures,
                                   bool stacked,
                                   int most_px);

}  // namespace evenfeed
