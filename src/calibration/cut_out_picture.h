// SPDX-License-Identifier: MIT
// Pictures cut out of larger ones: by a player who sent a part of the film, or
// by software that steadied or straightened it. The lens's axis, which is held
// near the picture's middle otherwise, then lies anywhere.
#pragma once

#include "calibration/camera_refiner.h"
#include "calibration/camera_solver.h"
#include "geometry/surface.h"

#include <optional>
#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct CutOutPicture {
  RefinedCamera fit;
  CameraSolverOptions solver;  ///< with which it was solved
  double beside_px = 0;        ///< the axis, from the picture's middle
  std::string words() const;   ///< a warning
};

/// The camera with its axis left open, from a rough one. nullopt when the lines
/// do not bear it out, when it cannot be or is not known well enough, and when
/// its axis is no farther from the middle than a whole picture's; whether it
/// fits well is for the caller to judge.
[[nodiscard]] std::optional<CutOutPicture> find_cut_out(
    const cv::Mat& luma,
    const CameraModel& start,
    const Surface& surface,
    const std::vector<SurfaceLine>& lines,
    const std::vector<MarkedPoint>& marks,
    const CameraSolverOptions& solver);

}  // namespace evenfeed
