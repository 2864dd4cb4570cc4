// SPDX-License-Identifier: MIT
// The table of table tennis through cameras of 640 x 360, which are quick to
// draw.
#pragma once

#include "support/calibration_profile.h"
#include "unit/calibration/drawn_table.h"

namespace evenfeed {

inline const Surface& table_tennis_surface() {
  static const Surface table =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
          .surface;
  return table;
}

/// Through an ordinary lens, a little off its axis and rolled by 0.02 rad.
inline CameraModel small_camera(double focal_px,
                                const Eigen::Vector3d& eye_m,
                                const Eigen::Vector3d& target_m) {
  CameraModel camera;
  camera.width_px = 640;
  camera.height_px = 360;
  camera.lens = {focal_px, 321, 178, -0.06, 0.01};
  camera.camera_from_table = look_at(eye_m, target_m, {0, 1, 0}, 0.02);
  return camera;
}

/// Along the table from over its near half: the far end line and what the sides
/// show of the far half are in view, the near end lies behind the camera.
inline CameraModel camera_over_table() {
  CameraModel camera = small_camera(480, {-0.5, 0, 1}, {0.8, 0, 0});
  camera.camera_from_table =
      look_at({-0.5, 0, 1}, {0.8, 0, 0}, {1, 0, 0}, 0.02);
  return camera;
}

/// Fine enough to calibrate on to hundredths of a pixel.
inline cv::Mat finely_drawn(const CameraModel& camera, std::uint64_t seed) {
  DrawnTable look;
  look.samples = 8;
  return draw_table(camera, table_tennis_surface(), look, seed);
}

}  // namespace evenfeed
