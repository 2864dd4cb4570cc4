// SPDX-License-Identifier: MIT
// Interlaced pictures that do not say so. Their even and odd rows were taken
// one after the other, so whatever moves is torn into a comb: a row differs
// from the rows above and below it by as much as it is like the second next
// ones. What stands still is whole, so only pixels are counted that changed
// since the picture before; a ball of ten pixels gives a hundred a frame.
#pragma once

#include <cstdint>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

class CombWatch {
 public:
  /// `luma` CV_8UC1, pictures in order; all of one size.
  void add(const cv::Mat& luma);
  /// Enough has moved to tell; add() need not be called any more.
  bool sure() const;
  /// Most of what moved was torn.
  bool torn() const;

 private:
  cv::Mat last_;
  std::int64_t moved_ = 0;
  std::int64_t torn_ = 0;
};

}  // namespace evenfeed
