// SPDX-License-Identifier: MIT
// Looks for a surface line where a camera predicts it: cuts across the
// predicted (curved) line at even steps, one sub-pixel fit per cut.
#pragma once

#include "calibration/surface_lines.h"
#include "geometry/camera_model.h"

#include <optional>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct LineSearch {
  double reach_px = 4;        ///< how far from the prediction to look
  double spacing_px = 10;     ///< between cuts, along the line
  double smooth_px = 3;       ///< cuts are means over +- this, along
  double least_contrast = 8;  ///< grey levels, on the weaker side
  double blur_px = 0.9;       ///< of the picture; for narrow lines
  void check() const;
};

/// A line as the camera should see it at one place.
struct PredictedBar {
  Eigen::Vector2d middle_px;
  Eigen::Vector2d normal;  ///< unit, from the low to the high edge
  double width_px = 0;
  bool low_only = false;
};
/// At `along` (0..1); nullopt when any of it cannot be seen.
std::optional<PredictedBar> predict_bar(const CameraModel& camera,
                                        const SurfaceLine& line,
                                        double along);

/// The bar of `line` as one cut saw it.
struct LineCut {
  int line = -1;                ///< index into the lines searched
  double along = 0;             ///< place on the line, 0..1
  Eigen::Vector2d measured_px;  ///< middle between the two edges
  Eigen::Vector2d normal;       ///< unit, from the low to the high edge
  double width_px = 0;          ///< measured
  double predicted_width_px = 0;
  double contrast = 0;  ///< grey levels, weaker side
  double blur_px = 0;
  double offset_px = 0;  ///< measured minus predicted, along normal
};

struct LineCuts {
  std::vector<LineCut> cuts;  ///< those that found a bar
  /// Cuts that lie in the picture and could show it: not those of a border
  /// beside something as bright.
  int looked = 0;
};

/// Cuts near crossings with other lines, or behind the net, are left out.
LineCuts cut_line(const cv::Mat& luma,
                  const CameraModel& camera,
                  const Surface& surface,
                  const std::vector<SurfaceLine>& lines,
                  int line,
                  const LineSearch& search);

/// One cut at `along` (0..1) of a line, whatever lies near; nullopt when it
/// does not fit into the picture or finds no bar. `line` of the result is left
/// open.
std::optional<LineCut> cut_line_at(const cv::Mat& luma,
                                   const CameraModel& camera,
                                   const SurfaceLine& line,
                                   double along,
                                   const LineSearch& search);

/// Mean of the picture along a cut: samples every `step_px` from -half to
/// +half along `normal`, each the mean over +-smooth_px along the line.
/// Empty when any of it is outside the picture.
std::vector<double> sample_cut(const cv::Mat& luma,
                               const Eigen::Vector2d& centre_px,
                               const Eigen::Vector2d& normal,
                               double half_px,
                               double step_px,
                               double smooth_px);

}  // namespace evenfeed
