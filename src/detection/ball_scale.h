// SPDX-License-Identifier: MIT
// How large a ball can look at a place in the picture, and how far it can
// move while the shutter is open.
#pragma once

#include "detection/ball_space.h"
#include "geometry/camera_model.h"

#include <Eigen/Core>

namespace evenfeed {

struct BallLimits {
  double least_diameter_px = 0;
  double most_diameter_px = 0;
  double likely_diameter_px = 0;  ///< 0: not known
  double likely_spread = 0;       ///< sd of its logarithm
  double most_streak_px = 0;
};

class BallScale {
 public:
  /// The same limits everywhere: no camera is known.
  explicit BallScale(const BallLimits& limits);
  /// From the line of sight: nearest where it enters `space`, farthest at the
  /// table; `tolerance` widens both ends (0.25: a quarter).
  BallScale(const CameraModel& camera,
            double radius_m,
            const BallSpace& space,
            double most_speed_mps,
            double tolerance);

  /// The same for a plane of fewer pixels: picture = step * plane + origin.
  BallScale on_plane(double step, double origin_px) const;
  /// From the plane's pixels to the picture's.
  Eigen::Vector2d in_picture(const Eigen::Vector2d& point_px) const {
    return step_ * point_px + Eigen::Vector2d(origin_px_, origin_px_);
  }
  double step() const { return step_; }

  /// Unit line of sight; the lens axis without a camera.
  Eigen::Vector3d ray_in_camera(const Eigen::Vector2d& point_px) const;
  /// The outline of a ball at this place, see Streak::outline.
  Eigen::Matrix2d outline(const Eigen::Vector2d& point_px) const;
  /// How far the middle of the outline lies from the picture of the ball's
  /// centre, for a ball of this diameter: outline = centre + shift.
  Eigen::Vector2d shift_px(const Eigen::Vector2d& point_px,
                           double diameter_px) const;

  BallLimits at(const Eigen::Vector2d& point_px) const;
  /// The smallest diameter anywhere in the picture over the table.
  double least_diameter_px() const {
    return everywhere_.least_diameter_px / step_;
  }

 private:
  BallLimits in_picture_limits(const Eigen::Vector2d& picture_px) const;
  double entry_m(const Eigen::Vector3d& eye_m,
                 const Eigen::Vector3d& ray) const;
  double diameter_px(const Eigen::Vector3d& x_in_table_m) const;

  BallLimits everywhere_;
  CameraModel camera_;
  double radius_m_ = 0;  // 0: no camera
  BallSpace space_;
  double most_speed_mps_ = 0;
  double tolerance_ = 0;
  double step_ = 1;       // picture pixels per pixel of the plane
  double origin_px_ = 0;  // of the plane's first pixel in the picture
};

}  // namespace evenfeed
