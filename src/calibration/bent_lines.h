// SPDX-License-Identifier: MIT
// Lines that leave their place on the way: the halves of a folding table that
// do not lie in one line, or that do not meet. The fit follows the larger part
// and leaves the other out, so its residual does not tell.
#pragma once

#include "calibration/camera_refiner.h"

#include <optional>
#include <string>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct BentLineOptions {
  int sections = 8;           ///< of a line, judged one by one
  int cuts_per_section = 6;   ///< half of them must find it
  int least_sections = 2;     ///< side by side, off to the same side
  double reach_m = 0.06;      ///< how far from its place it is looked for
  double least_off_m = 0.01;  ///< less is not told
  double least_off_px = 1.5;
  /// Of the contrast of the line where it is in place; what is fainter is
  /// another thing.
  double faint = 0.6;
  void check() const;
};

struct BentLine {
  std::string name;
  double off_m = 0;             ///< the section farthest off
  bool receiving_half = false;  ///< some of it
};

/// The line that is farthest off; none when all are where the camera has them.
[[nodiscard]] std::optional<BentLine> find_bent_line(
    const cv::Mat& luma,
    const RefinedCamera& fit,
    const BentLineOptions& options = {});

}  // namespace evenfeed
