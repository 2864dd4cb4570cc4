// SPDX-License-Identifier: MIT
// A surface's lines end at its border. Where the picture shows them to go on,
// what was taken for the border is something else: the net's tape for an end
// line, the centre line for a side line, one half for the whole.
#pragma once

#include "calibration/bright_bars.h"
#include "calibration/surface_lines.h"
#include "geometry/camera_model.h"

#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct BeyondOptions {
  /// How far beyond the border a line is looked for: part of its length in
  /// the picture. The far half behind a net taken for the end is 14 % of the
  /// whole line or more, from a tripod.
  double look = 0.1;
  double least_look_px = 18;  ///< ... but at least this
  double spacing_px = 2;      ///< between cuts
  int least_cuts = 5;         ///< fewer within the picture say nothing
  double least_share = 0.6;   ///< of the cuts find a line that goes on
  /// Of the contrast the line has before the border; a fainter bar is another
  /// thing.
  double faint = 0.4;
  /// A net hides what is behind it, so a line may go on after a gap, as one
  /// bar: how far beyond the border such a bar reaches, how much of the line
  /// it covers before it, both in parts of the line's length in the picture,
  /// and how far the line lies off it, part of that length.
  double bar_beyond = 0.5;
  double bar_before = 0.5;
  double bar_off = 0.03;
  void check() const;
};

/// The border beyond which most of the lines that end there go on, as words for
/// a message; empty when none. `bars` are those of the picture. Two lines at
/// least must go on: one may have something of the hall in its continuation.
[[nodiscard]] std::string lines_beyond_border(
    const cv::Mat& luma,
    const CameraModel& camera,
    const std::vector<SurfaceLine>& lines,
    const std::vector<BrightBar>& bars,
    const BeyondOptions& options = {});

}  // namespace evenfeed
