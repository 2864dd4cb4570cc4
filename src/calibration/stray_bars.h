// SPDX-License-Identifier: MIT
// A table is bare between its lines. A straight bright bar that lies where the
// surface would be bare, with no painted line and no net beside it, was left
// unexplained: the true side line within a surface taken too wide, the edge of
// another table, the lines of a court.
#pragma once

#include "calibration/bright_bars.h"
#include "calibration/surface_lines.h"
#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <vector>

namespace evenfeed {

struct StrayBarOptions {
  double near_line = 0.004;  ///< explained by a line so near, of the width
  double least = 0.05;  ///< so much of it on the bare surface, of the width
  void check() const;
};

/// How many of the picture's bars lie on the bare surface, as `camera` has it.
/// `lines` are the painted ones, and the net's tape or not.
[[nodiscard]] int stray_bars(const std::vector<BrightBar>& bars,
                             const CameraModel& camera,
                             const Surface& surface,
                             const std::vector<SurfaceLine>& lines,
                             const StrayBarOptions& options = {});

}  // namespace evenfeed
