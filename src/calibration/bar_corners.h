// SPDX-License-Identifier: MIT
// Where the bright bars of a picture meet: as the corners of a border, or as a
// line that ends at another or runs across it, like a surface's centre line at
// its ends.
#pragma once

#include "calibration/bright_bars.h"

#include <vector>

#include <Eigen/Core>
#include <opencv2/core/types.hpp>

namespace evenfeed {

class BarCorners {
 public:
  BarCorners(const std::vector<BrightBar>& bars, const cv::Size& size);

  int bars() const { return n_; }
  /// Both come to their end there, or it lies out of the picture.
  bool meet(int i, int j) const { return meet_[i * n_ + j] != 0; }
  /// `through` ends on `along` or runs across it, clear of the ends of `along`.
  bool meets_within(int through, int along) const {
    return within_[through * n_ + along] != 0;
  }
  /// Valid when they meet in either way.
  const Eigen::Vector2d& at(int i, int j) const { return at_[i * n_ + j]; }

 private:
  int n_;
  std::vector<Eigen::Vector2d> at_;
  std::vector<char> meet_, within_;
};

/// The part of p-q within the picture that the bar covers.
[[nodiscard]] double covered_by(const BrightBar& bar,
                                const Eigen::Vector2d& p,
                                const Eigen::Vector2d& q,
                                const cv::Size& size);

}  // namespace evenfeed
