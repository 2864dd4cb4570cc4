// SPDX-License-Identifier: MIT
// A table that is not flat, of which points are marked by hand. Hundreds of
// cuts along its lines, each trusted to a tenth of a pixel, would bend the lens
// until it looks flat; what they have in common is that the table is off by
// millimetres, and then they tell little more than the marks.
#pragma once

#include "calibration/camera_refiner.h"

#include <optional>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// How far a line is looked for from where the marks have it: a leisure table's
/// ends droop by 10 to 20 mm; marks are a pixel or two off as well.
inline constexpr double kUnevenReach_m = 0.03;

/// The flat table that lies best between lines and marks, each line counting
/// as a few independent pieces that are off by as much as all of them leave.
/// `start` is solved from the marks alone. The net is not looked for: it stands
/// on what is not flat. Empty when the lines do not hold a camera.
[[nodiscard]] std::optional<RefinedCamera> fit_uneven_table(
    const cv::Mat& luma,
    const CameraModel& start,
    const Surface& surface,
    std::vector<SurfaceLine> lines,
    const std::vector<MarkedPoint>& marks,
    const CameraSolverOptions& solver);

}  // namespace evenfeed
