// SPDX-License-Identifier: MIT
// How well a camera's table explains a picture, as one sum of logarithms of
// likelihood ratios (in nats: 3 are 20 to 1): the picture with a table there
// against the same lines without one. Residuals do not tell: any four lines fit
// some camera. What tells is that lines are all where they must be, end where
// the table ends, and that a border has the table on one side only.
//
// The chances below are of the kind "one cut in seven misses a line that is
// there" (a player, glare, wear). They are this project's choice, not measured
// frequencies; only their order of size matters.
#pragma once

#include "calibration/bright_bars.h"
#include "calibration/camera_refiner.h"

#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct TableScoreOptions {
  /// A line is looked at in so many sections; cuts within one tell the same.
  int sections = 8;
  int cuts_per_section = 4;
  double found_if_there = 0.85;  ///< chance that a section shows its line
  double found_if_not = 0.3;     ///< ... of another thing that lies there
  /// A line that goes on straight beyond the border: how far it is followed,
  /// part of its length in the picture, and which share of cuts must see it.
  double beyond = 0.3;
  double beyond_share = 0.8;
  double beyond_faint = 0.6;  ///< of the line's own contrast, to be the same
  double beyond_if_there = 0.01, beyond_if_not = 0.5;  ///< chances of it
  /// Grey beside a border line, inside and outside, within this part of the
  /// line's contrast: alike, as beside a line that is no border.
  double alike = 0.1;
  double alike_if_there = 0.15, alike_if_not = 0.6;
  /// Bars on the bare surface: the chance of each further one (0.15 to 0.6).
  double stray_if_there = 0.15, stray_if_not = 0.6;
  double tape_share = 0.35;                       ///< of its cuts; cords sag
  double tape_if_there = 0.7, tape_if_not = 0.2;  ///< the net's tape is seen
  /// The grey of the two halves, as a ratio in nats: above it they are two
  /// things rather than one table.
  double halves_differ = 0.7;
  double differ_if_there = 0.1, differ_if_not = 0.4;
  void check() const;
};

/// Terms in nats, positive for the table.
struct TableScore {
  double lines = 0;   ///< painted lines where they must be
  double ends = 0;    ///< lines end at the border, or go on
  double border = 0;  ///< another shade outside the border than inside
  double net = 0;     ///< the net's tape
  double halves = 0;  ///< both halves of one shade
  double bare = 0;    ///< no bars where the surface is bare
  /// The name of a line that goes on beyond the border; empty when none.
  std::string goes_on;

  double total() const { return lines + ends + border + net + halves + bare; }
  /// "31.2 nats (lines 28.1, ends 1.4, ...)"
  std::string words() const;
};

/// `bars`: the picture's.
[[nodiscard]] TableScore score_table(const cv::Mat& luma,
                                     const RefinedCamera& fit,
                                     const Surface& surface,
                                     const std::vector<BrightBar>& bars,
                                     const TableScoreOptions& options = {});

}  // namespace evenfeed
