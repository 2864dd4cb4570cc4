// SPDX-License-Identifier: MIT
#include "geometry/pose.h"

#include "base/check.h"

namespace evenfeed {

Eigen::Quaterniond turned_by(const Eigen::Vector3d& turn_rad) {
  const double angle = turn_rad.norm();
  if (angle == 0) return Eigen::Quaterniond::Identity();
  return Eigen::Quaterniond(Eigen::AngleAxisd(angle, turn_rad / angle));
}

Pose look_at(const Eigen::Vector3d& eye_in_table_m,
             const Eigen::Vector3d& target_in_table_m,
             const Eigen::Vector3d& up_in_table,
             double roll_rad) {
  const Eigen::Vector3d forward =
      (target_in_table_m - eye_in_table_m).normalized();
  const Eigen::Vector3d side = forward.cross(up_in_table);
  require(side.norm() > 1e-9, "look_at: eye, target and up are on one line");
  const Eigen::Vector3d right = side.normalized();
  const Eigen::Vector3d down = forward.cross(right);
  Eigen::Matrix3d camera_from_table;
  camera_from_table << right.transpose(), down.transpose(), forward.transpose();
  const Eigen::Matrix3d roll =
      Eigen::AngleAxisd(-roll_rad, Eigen::Vector3d::UnitZ()).toRotationMatrix();
  Pose pose;
  pose.rotation = Eigen::Quaterniond(roll * camera_from_table);
  pose.translation_m = -(pose.rotation * eye_in_table_m);
  return pose;
}

}  // namespace evenfeed
