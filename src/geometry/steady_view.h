// SPDX-License-Identifier: MIT
// A camera that was moved, seen through the one that was calibrated: where the
// calibrated camera would have seen what the moved one sees. Exact for what
// lies on a plane z = height_m and, when the camera was only turned, for
// everything. When its eye was shifted by d, a point at another height h is
// off by about d (h - height_m) / (eye's height) on the table: half a
// millimetre for a ball 0.2 m up, seen from 2.5 m, after a shift of 6 mm.
#pragma once

#include "geometry/camera_model.h"

#include <vector>

namespace evenfeed {

class SteadyView {
 public:
  SteadyView(CameraModel calibrated, CameraModel moved, double height_m)
      : calibrated_(std::move(calibrated)),
        moved_(std::move(moved)),
        height_m_(height_m) {}

  /// Picture point of the moved camera to that of the calibrated one; the
  /// point itself when the calibrated one cannot see it.
  Eigen::Vector2d operator()(const Eigen::Vector2d& point_px) const;

 private:
  CameraModel calibrated_, moved_;
  double height_m_;
};

/// How far the picture of the table moved from camera `a` to camera `b`: rms
/// distance, on the table, between these points of it (z = 0) and where `a`
/// would place their pictures in `b`. NaN when none can be seen.
double shift_at_table_m(const CameraModel& a,
                        const CameraModel& b,
                        const std::vector<Eigen::Vector3d>& points_m);

}  // namespace evenfeed
