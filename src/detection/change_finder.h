// SPDX-License-Identifier: MIT
// Where a frame differs from its background: the cheap first look at every
// frame. Some rows of each cell of 8 x 8 px are compared; cells with enough
// changed pixels are grouped with their neighbours.
#pragma once

#include "detection/background.h"

#include <cstdint>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct ChangedArea {
  cv::Rect box;    ///< whole cells, px
  int label = 0;   ///< of its cells in ChangeFinder::label()
  int pixels = 0;  ///< changed, as many as the compared rows stand for
};

/// How a band of cells is looked at.
struct BandLook {
  int row_step = 1;  ///< every so many rows are compared: 1, 2 or 4
  /// Compared pixels of a noisy cell that must have changed: what noise there
  /// changes at once is fewer than what the smallest ball does.
  int needed_in_noise = 0;
};

/// Which changes count. A ball that is brighter than what lies behind it makes
/// nothing darker, and half of the noise does.
enum class ChangeSign { kUp, kDown, kEither };

class ChangeFinder {
 public:
  /// A cell is noisy when its threshold is above `quiet_step` (grey levels).
  ChangeFinder(int width_px,
               std::vector<BandLook> bands,
               double quiet_step,
               ChangeSign sign);

  /// The changed areas of the frame that `background` was begun with, from
  /// top to bottom.
  const std::vector<ChangedArea>& find(const cv::Mat& luma,
                                       const Background& background);

  /// Label of the area a pixel's cell belongs to, 0 for none.
  int label(int u, int v) const {
    return labels_[static_cast<std::size_t>(v / kCell_px * columns_ +
                                            u / kCell_px)];
  }
  /// Part of the region's cells that changed, 0..1.
  double changed_part() const { return changed_part_; }

 private:
  template <int kRows>
  void mark_band(const cv::Mat& luma, const Background& background, int band);
  void group();

  int columns_;
  int rows_;
  std::vector<BandLook> bands_;
  int quiet_threshold_;               // 1/16 level
  int up_, down_;                     // all bits where such changes count
  std::vector<std::uint8_t> active_;  // per cell: changed pixels, 0 if too few
  std::vector<int> labels_;           // per cell
  std::vector<int> stack_;
  std::vector<ChangedArea> areas_;
  long looked_at_ = 0;
  double changed_part_ = 0;
};

}  // namespace evenfeed
