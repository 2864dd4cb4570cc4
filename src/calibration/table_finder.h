// SPDX-License-Identifier: MIT
// Finds the surface in one still picture without a hint, by proposing and
// checking. Proposals come from bright bars that meet in corners: four for the
// whole border, or one end with its two sides (or one and the centre line)
// when the rest is out of the picture (then over a ladder of focal lengths).
// Each proposal is a camera; it is checked by how much of ALL the surface's
// lines the picture bears out, so that lines of the hall, barriers and print do
// not pass for a table. The two ends of a symmetric surface look alike: the end
// called near here is arbitrary, except that a half table shows the receiving
// end.
#pragma once

#include "calibration/camera_refiner.h"
#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <optional>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct FoundTable {
  CameraModel camera;   ///< rough: within a few pixels, no distortion
  double evidence = 0;  ///< cuts found less cuts missed
  int missing = 0;      ///< lines in the picture that are not borne out
  bool half = false;    ///< proposed from one end and two sides
};

struct TableFinderOptions {
  int proposals = 10;  ///< best ones handed back
  /// The picture is made about so wide before bars are looked for, but never
  /// more than `most_enlarged` times as wide as it is: thin lines need pixels
  /// between their two edges.
  double work_width_px = 1280;
  double most_enlarged = 2;
  /// Barrel distortion taken out beforehand, as k1 of a lens of 0.8 picture
  /// widths; bent lines are no bars. 0: looked at as it is.
  double k1 = 0;
  /// Halves that are small in the picture too, and those of which one side and
  /// the centre line are seen. Slow, and most of them are none.
  bool small_halves = false;
  /// Sides of which little is to be seen, from low behind an end or of a table
  /// far off: shorter bars, and halves that are small too.
  bool short_sides = false;
  CameraSolverOptions solver;
  void check() const;
};

/// Best first; empty when no proposal is borne out. `known_lens` replaces the
/// ladder of focal lengths.
std::vector<FoundTable> find_table(
    const cv::Mat& luma,
    const Surface& surface,
    const std::optional<LensModel<double>>& known_lens,
    const TableFinderOptions& options = {});

}  // namespace evenfeed
