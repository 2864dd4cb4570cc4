// SPDX-License-Identifier: MIT
// A camera over the table, 1280 x 720, for tests that only need some camera.
#pragma once

#include "geometry/camera_model.h"

namespace evenfeed {

inline CameraModel table_camera(const Eigen::Vector3d& eye_m, double roll_rad) {
  CameraModel camera;
  camera.width_px = 1280;
  camera.height_px = 720;
  camera.lens = {900, 639.5, 359.5, -0.08, 0.01};
  camera.camera_from_table = look_at(eye_m, {0, 0, 0}, {0, 1, 0}, roll_rad);
  return camera;
}

/// The camera with its eye elsewhere, looking the same way.
inline CameraModel with_eye_shifted(CameraModel camera,
                                    const Eigen::Vector3d& by_m) {
  Pose& pose = camera.camera_from_table;
  pose.translation_m -= pose.rotation * by_m;
  return camera;
}

}  // namespace evenfeed
