// SPDX-License-Identifier: MIT
// Straight bright bars of a picture (white lines on something darker), found
// without knowing where to look: line segments of opposite slope of grey that
// face each other at a small distance, then pieces of one line joined.
// Segments by the line segment detector of OpenCV (Grompone von Gioi et al.
// 2012, doi 10.5201/ipol.2012.gjmr-lsd).
#pragma once

#include <vector>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct BrightBar {
  Eigen::Vector2d from_px, to_px;  ///< its middle line
  double width_px = 0;
  /// Share of from..to that was seen, the rest bridged.
  double coverage = 1;

  Eigen::Vector2d direction() const { return (to_px - from_px).normalized(); }
  double length_px() const { return (to_px - from_px).norm(); }
};

struct BrightBarOptions {
  double widest = 0.03;       ///< of the picture's width
  double shortest = 0.03;     ///< of the picture's width, before joining
  double keep_length = 0.06;  ///< of the picture's width, after joining
  int most = 48;              ///< the longest this many are kept
  void check() const;
};

/// Longest first.
std::vector<BrightBar> find_bright_bars(const cv::Mat& luma,
                                        const BrightBarOptions& options = {});

}  // namespace evenfeed
