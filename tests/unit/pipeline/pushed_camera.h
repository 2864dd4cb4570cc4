// SPDX-License-Identifier: MIT
// A camera that somebody pushes along the table.
#pragma once

#include "vision/camera_watch.h"

#include <cmath>
#include <vector>

namespace evenfeed {

inline CameraModel calibrated() {
  CameraModel camera;
  camera.width_px = 1280;
  camera.height_px = 720;
  camera.lens = {900, 639.5, 359.5, -0.08, 0.01};
  camera.camera_from_table = look_at({0.4, -1.2, 2.5}, {0, 0, 0}, {0, 1, 0});
  return camera;
}

inline CameraModel pushed(double along_m) {
  CameraModel camera = calibrated();
  const Eigen::Vector3d eye_m =
      camera.eye_in_table_m() + Eigen::Vector3d(along_m, 0, 0);
  camera.camera_from_table.translation_m =
      -(camera.camera_from_table.rotation * eye_m);
  return camera;
}

/// The camera stands pushed by along_m from times_s on.
inline std::vector<CameraStance> steps(const std::vector<double>& times_s,
                                       const std::vector<double>& along_m) {
  std::vector<CameraStance> stances;
  double before_m = 0;
  for (std::size_t i = 0; i < times_s.size(); ++i) {
    stances.push_back(
        {times_s[i], pushed(along_m[i]), std::abs(along_m[i] - before_m)});
    before_m = along_m[i];
  }
  return stances;
}

}  // namespace evenfeed
