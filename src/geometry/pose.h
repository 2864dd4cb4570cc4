// SPDX-License-Identifier: MIT
// Frames are named in the variable: x_in_camera = camera_from_table *
// x_in_table.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>

namespace evenfeed {

/// Rigid motion b_from_a: x_in_b = rotation * x_in_a + translation_m.
struct Pose {
  Eigen::Quaterniond rotation = Eigen::Quaterniond::Identity();
  Eigen::Vector3d translation_m = Eigen::Vector3d::Zero();

  Eigen::Vector3d operator*(const Eigen::Vector3d& x_in_a_m) const {
    return rotation * x_in_a_m + translation_m;
  }
  Pose inverse() const {
    const Eigen::Quaterniond r = rotation.conjugate();
    return {r, -(r * translation_m)};
  }
};

/// The rotation by |turn_rad| about the direction of turn_rad.
Eigen::Quaterniond turned_by(const Eigen::Vector3d& turn_rad);

/// camera_from_table of a camera at `eye` that looks at `target`, with the
/// picture's up direction nearest to `up` (camera x right, y down, z forward),
/// then turned by `roll_rad` clockwise about its own line of sight.
/// Everything in the table frame. Throws std::logic_error when eye, target
/// and up do not span a plane.
Pose look_at(const Eigen::Vector3d& eye_in_table_m,
             const Eigen::Vector3d& target_in_table_m,
             const Eigen::Vector3d& up_in_table,
             double roll_rad = 0);

}  // namespace evenfeed
