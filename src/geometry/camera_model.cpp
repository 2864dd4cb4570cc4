// SPDX-License-Identifier: MIT
#include "geometry/camera_model.h"

#include "base/check.h"

#include <cmath>

namespace evenfeed {
namespace {

// d(r d(r))/dr of the distortion; the model holds only where it is positive.
double radial_slope(const LensModel<double>& lens, double r2) {
  return 1 + r2 * (3 * lens.k1 + r2 * 5 * lens.k2);
}

// Undistorted (x, y) of a picture point: Newton on the radius.
Eigen::Vector2d undistort(const LensModel<double>& lens,
                          const Eigen::Vector2d& point_px) {
  const Eigen::Vector2d distorted{
      (point_px.x() - lens.centre_u_px) / lens.focal_px,
      (point_px.y() - lens.centre_v_px) / lens.focal_px};
  const double rd = distorted.norm();
  if (rd == 0) return distorted;
  double r = rd;
  for (int i = 0; i < 20; ++i) {
    const double r2 = r * r;
    const double error = r * (1 + r2 * (lens.k1 + r2 * lens.k2)) - rd;
    const double slope = radial_slope(lens, r2);
    if (slope < 0.05) break;  // past the model's range: keep the last radius
    r -= error / slope;
    if (std::abs(error) < 1e-14) break;
  }
  return distorted * (r / rd);
}

}  // namespace

std::optional<Eigen::Vector2d> CameraModel::project(
    const Eigen::Vector3d& x_in_table_m) const {
  const Eigen::Vector3d x_in_camera = camera_from_table * x_in_table_m;
  if (x_in_camera.z() <= 1e-6) return std::nullopt;
  const double r2 = (x_in_camera.head<2>() / x_in_camera.z()).squaredNorm();
  if (radial_slope(lens, r2) <= 0) return std::nullopt;
  return lens.project(x_in_camera);
}

bool CameraModel::in_picture(const Eigen::Vector2d& point_px,
                             double margin_px) const {
  return point_px.x() >= margin_px - 0.5 && point_px.y() >= margin_px - 0.5 &&
         point_px.x() <= width_px - 0.5 - margin_px &&
         point_px.y() <= height_px - 0.5 - margin_px;
}

Eigen::Vector3d CameraModel::ray_in_table(
    const Eigen::Vector2d& point_px) const {
  const Eigen::Vector2d xy = undistort(lens, point_px);
  return camera_from_table.rotation.conjugate() *
         Eigen::Vector3d(xy.x(), xy.y(), 1).normalized();
}

std::optional<Eigen::Vector3d> CameraModel::meet_plane(
    const Eigen::Vector2d& point_px, double height_m) const {
  const Eigen::Vector3d eye = eye_in_table_m();
  const Eigen::Vector3d ray = ray_in_table(point_px);
  const double along = (height_m - eye.z()) / ray.z();
  if (!std::isfinite(along) || along <= 0) return std::nullopt;
  return eye + along * ray;
}

void CameraModel::check() const {
  require_in_range(width_px, 16, 16384, "width_px");
  require_in_range(height_px, 16, 16384, "height_px");
  require_positive(lens.focal_px, "focal_px");
  // From a view of nearly 180 degrees to a telescope.
  require_in_range(
      lens.focal_px, width_px / 50.0, width_px * 200.0, "focal_px");
  require_in_range(lens.k1, -2, 2, "k1");
  require_in_range(lens.k2, -4, 4, "k2");
  require_in_range(exposure_or_zero_s(), 0, 1, "exposure_s");
  require_in_range(readout_or_zero_s(), 0, 1, "readout_s");
}

}  // namespace evenfeed
