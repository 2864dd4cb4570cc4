// SPDX-License-Identifier: MIT
// From points marked by hand to a camera: the marks begin, the lines sharpen
// what they began, and marks that cannot be are left out by name. Where all of
// them together fit no camera, the picture may have been cut out of a larger
// one (cut_out_picture).
#pragma once

#include "calibration/calibration.h"
#include "calibration/camera_refiner.h"
#include "geometry/surface.h"

#include <optional>
#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct MarkedCamera {
  /// kDone: there is a camera; whether it is good enough is not judged here.
  CalibrationStatus status = CalibrationStatus::kFailed;
  std::string message;
  RefinedCamera fit;
  std::vector<SurfaceLine> lines;  ///< those that were looked for
  std::vector<MarkedPoint> marks;  ///< those that count
  CameraSolverOptions solver;      ///< with which it was solved
  bool uneven = false;             ///< judged by uneven_residual()
  std::vector<std::string> warnings;
};

[[nodiscard]] MarkedCamera camera_from_marks(
    const cv::Mat& luma,
    const Surface& surface,
    const std::vector<SurfaceLine>& lines,
    const std::vector<MarkedPoint>& marks,
    const std::optional<KnownLens>& lens,
    const CameraSolverOptions& solver,
    const CalibrationLimits& limits);

/// How far the camera has a mark from where it was made.
[[nodiscard]] double mark_miss_px(const CameraModel& camera,
                                  const MarkedPoint& mark);

}  // namespace evenfeed
