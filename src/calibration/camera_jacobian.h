// SPDX-License-Identifier: MIT
// A table point in the picture, with its derivatives by everything a
// calibration solves for. Written out instead of differentiated automatically:
// it is the inner loop, and it compiles in seconds.
//
//   X = exp(turn) R0 x + t                   camera frame
//   d(exp(w) v)/dw = -[exp(w) v]x Jl(w)       Jl: left Jacobian of SO(3)
//   Jl(w) = I + (1 - cos a)/a^2 [w]x + (a - sin a)/a^3 [w]x^2,  a = |w|
//
// Source of Jl: Sola, Deray, Atchuthan 2018, "A micro Lie theory for state
// estimation in robotics", eq. 145.
#pragma once

#include "geometry/camera_model.h"

#include <Eigen/Core>

namespace evenfeed {

struct ProjectedPoint {
  Eigen::Vector2d px;
  /// By focal_px, k1, k2, centre_u_px, centre_v_px.
  Eigen::Matrix<double, 2, 5> by_lens;
  Eigen::Matrix<double, 2, 3> by_turn;
  Eigen::Matrix<double, 2, 3> by_translation;
  Eigen::Matrix<double, 2, 3> by_point;
};

/// A lens in that order.
Eigen::Matrix<double, 5, 1> lens_vector(const LensModel<double>& lens);

struct RotatedVector {
  Eigen::Vector3d value;
  Eigen::Matrix3d by_turn;
};

/// exp(turn) v.
RotatedVector rotate_with_jacobian(const Eigen::Vector3d& turn_rad,
                                   const Eigen::Vector3d& v);

/// `turn_rad` is an angle-axis vector in the camera frame applied after
/// `start_rotation`. The point must lie in front of the camera.
ProjectedPoint project_with_jacobian(const Eigen::Matrix<double, 5, 1>& lens,
                                     const Eigen::Vector3d& turn_rad,
                                     const Eigen::Vector3d& translation_m,
                                     const Eigen::Matrix3d& start_rotation,
                                     const Eigen::Vector3d& x_in_table_m);

}  // namespace evenfeed
