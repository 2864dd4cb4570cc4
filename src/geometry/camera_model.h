// SPDX-License-Identifier: MIT
// One fixed camera: pinhole with radial distortion and a row-by-row readout.
// Pixel centres lie at integer coordinates: the picture spans
// [-0.5, width - 0.5] x [-0.5, height - 0.5].
//
//   (x, y) = (X/Z, Y/Z) in the camera frame (x right, y down, z forward)
//   r2 = x^2 + y^2,  d = 1 + k1 r2 + k2 r2^2
//   u = centre_u + focal d x,  v = centre_v + focal d y
//
// Source of the distortion polynomial: Brown 1971, "Close-range camera
// calibration", radial terms only.
#pragma once

#include "geometry/pose.h"

#include <optional>

#include <Eigen/Core>

namespace evenfeed {

/// The lens in pixels. Templated so that solvers can differentiate it.
template <typename T>
struct LensModel {
  T focal_px = T(0);
  T centre_u_px = T(0);
  T centre_v_px = T(0);
  T k1 = T(0);
  T k2 = T(0);

  /// Picture point of a point in front of the camera (z > 0).
  Eigen::Matrix<T, 2, 1> project(
      const Eigen::Matrix<T, 3, 1>& x_in_camera) const {
    const T x = x_in_camera.x() / x_in_camera.z();
    const T y = x_in_camera.y() / x_in_camera.z();
    const T r2 = x * x + y * y;
    const T scale = focal_px * (T(1) + r2 * (k1 + r2 * k2));
    return {centre_u_px + scale * x, centre_v_px + scale * y};
  }
};

struct CameraModel {
  int width_px = 0;
  int height_px = 0;
  LensModel<double> lens;
  Pose camera_from_table;
  /// Time the shutter is open, the same for each row. 0: an instant; absent:
  /// not known.
  std::optional<double> exposure_s;
  /// From the first row's start to the last row's. 0: a global shutter, all
  /// rows at once; absent: not known.
  std::optional<double> readout_s;

  /// For computing: what is not known counts as none.
  double exposure_or_zero_s() const { return exposure_s.value_or(0); }
  double readout_or_zero_s() const { return readout_s.value_or(0); }

  Eigen::Vector3d eye_in_table_m() const {
    return camera_from_table.inverse().translation_m;
  }
  /// Picture point of a table point; nullopt behind the camera or where the
  /// distortion polynomial has turned back on itself. May lie off the picture.
  [[nodiscard]] std::optional<Eigen::Vector2d> project(
      const Eigen::Vector3d& x_in_table_m) const;
  /// Of what lies across the line of sight there, near the lens's axis.
  double px_per_m(const Eigen::Vector3d& x_in_table_m) const {
    return lens.focal_px / (camera_from_table * x_in_table_m).z();
  }
  bool in_picture(const Eigen::Vector2d& point_px, double margin_px = 0) const;
  /// Unit direction of the line of sight, in the table frame.
  Eigen::Vector3d ray_in_table(const Eigen::Vector2d& point_px) const;
  /// Where the line of sight meets the plane z = height_m of the table frame;
  /// nullopt when it never does in front of the camera.
  [[nodiscard]] std::optional<Eigen::Vector3d> meet_plane(
      const Eigen::Vector2d& point_px, double height_m) const;
  /// Middle of the exposure of row v in a frame stamped t_frame_s:
  /// t_frame + exposure / 2 + v / height * readout.
  double mid_exposure_s(double t_frame_s, double row_v_px) const {
    return t_frame_s + exposure_or_zero_s() / 2 +
           row_v_px / height_px * readout_or_zero_s();
  }
  /// Throws UsageError naming the field that cannot be.
  void check() const;
};

}  // namespace evenfeed
