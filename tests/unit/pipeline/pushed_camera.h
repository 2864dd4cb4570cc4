// SPDX-License-Identifier: MIT
// A camera that somebody pushes along the table.
#pragma once

#include "calibration/camera_watch.h"
#include "support/table_camera.h"

#include <cmath>
#include <vector>

namespace evenfeed {

inline CameraModel calibrated() { return table_camera({0.4, -1.2, 2.5}, 0); }

inline CameraModel pushed(double along_m) {
  return with_eye_shifted(calibrated(), {along_m, 0, 0});
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
