// SPDX-License-Identifier: MIT
#include "calibration/camera_jacobian.h"

#include <cmath>

#include <Eigen/Geometry>

namespace evenfeed {
namespace {

Eigen::Matrix3d cross_matrix(const Eigen::Vector3d& v) {
  Eigen::Matrix3d m;
  m << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
  return m;
}

Eigen::Matrix3d left_jacobian(const Eigen::Vector3d& w) {
  const double a2 = w.squaredNorm();
  const Eigen::Matrix3d k = cross_matrix(w);
  if (a2 < 1e-10) return Eigen::Matrix3d::Identity() + 0.5 * k;
  const double a = std::sqrt(a2);
  return Eigen::Matrix3d::Identity() + (1 - std::cos(a)) / a2 * k +
         (a - std::sin(a)) / (a2 * a) * k * k;
}

Eigen::Matrix3d rotation_of(const Eigen::Vector3d& w) {
  const double a = w.norm();
  if (a < 1e-12) return Eigen::Matrix3d::Identity() + cross_matrix(w);
  return Eigen::AngleAxisd(a, w / a).toRotationMatrix();
}

}  // namespace

RotatedVector rotate_with_jacobian(const Eigen::Vector3d& turn_rad,
                                   const Eigen::Vector3d& v) {
  RotatedVector result;
  result.value = rotation_of(turn_rad) * v;
  result.by_turn = -cross_matrix(result.value) * left_jacobian(turn_rad);
  return result;
}

Eigen::Matrix<double, 5, 1> lens_vector(const LensModel<double>& lens) {
  return {lens.focal_px, lens.k1, lens.k2, lens.centre_u_px, lens.centre_v_px};
}

ProjectedPoint project_with_jacobian(const Eigen::Matrix<double, 5, 1>& lens,
                                     const Eigen::Vector3d& turn_rad,
                                     const Eigen::Vector3d& translation_m,
                                     const Eigen::Matrix3d& start_rotation,
                                     const Eigen::Vector3d& x_in_table_m) {
  const RotatedVector turned =
      rotate_with_jacobian(turn_rad, start_rotation * x_in_table_m);
  const Eigen::Vector3d at = turned.value + translation_m;
  const double focal = lens[0], k1 = lens[1], k2 = lens[2];
  const Eigen::Vector2d xy = at.head<2>() / at.z();
  const double r2 = xy.squaredNorm();
  const double bend = 1 + r2 * (k1 + r2 * k2);

  ProjectedPoint p;
  p.px = Eigen::Vector2d(lens[3], lens[4]) + focal * bend * xy;
  p.by_lens.col(0) = bend * xy;
  p.by_lens.col(1) = focal * r2 * xy;
  p.by_lens.col(2) = focal * r2 * r2 * xy;
  p.by_lens.rightCols<2>().setIdentity();
  // By (x, y), then by the point in the camera frame.
  const Eigen::Matrix2d by_xy =
      focal * (bend * Eigen::Matrix2d::Identity() +
               2 * (k1 + 2 * k2 * r2) * xy * xy.transpose());
  Eigen::Matrix<double, 2, 3> xy_by_at;
  xy_by_at << 1, 0, -xy.x(), 0, 1, -xy.y();
  p.by_translation = by_xy * xy_by_at / at.z();
  p.by_turn = p.by_translation * turned.by_turn;
  p.by_point = p.by_translation * rotation_of(turn_rad) * start_rotation;
  return p;
}

}  // namespace evenfeed
