// SPDX-License-Identifier: MIT
// From a rough camera to the final one: look for the surface's lines where
// the camera predicts them, solve, look again in a narrower strip.
#pragma once

#include "calibration/camera_solver.h"
#include "calibration/line_edges.h"

#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// How well the picture bears out one line.
struct LineSupport {
  int looked = 0;  ///< cuts in the picture
  int found = 0;   ///< of these, with a bar (that agrees, after a solve)
  double share() const { return looked > 0 ? double(found) / looked : 0; }
};

struct RefinedCamera {
  CameraSolution solution;
  std::vector<SurfaceLine> lines;  ///< as seen from the camera
  std::vector<LineCut> cuts;
  std::vector<LineSupport> support;  ///< one per line
};

/// `first_reach_px` is how far the rough camera may be off. The net's tape, if
/// `lines` has one, is looked for once the painted lines have settled, as far
/// from its predicted place as the solution so far leaves open.
RefinedCamera refine_camera(const cv::Mat& luma,
                            const CameraModel& start,
                            const Surface& surface,
                            std::vector<SurfaceLine> lines,
                            const std::vector<MarkedPoint>& points,
                            const CameraSolverOptions& options,
                            double first_reach_px);

/// All painted lines cut at once.
struct AllCuts {
  std::vector<LineCut> cuts;
  std::vector<LineSupport> support;
};
AllCuts cut_all_lines(const cv::Mat& luma,
                      const CameraModel& camera,
                      const Surface& surface,
                      const std::vector<SurfaceLine>& lines,
                      const LineSearch& search);

}  // namespace evenfeed
