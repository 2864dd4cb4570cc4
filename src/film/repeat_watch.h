// SPDX-License-Identifier: MIT
// Pictures that show again what the one before showed: a film of 30 pictures a
// second saved at 60, a recording of a screen. A ball then stands still at
// every second picture and leaps to the next, which no flight explains. A
// repeat is told by the picture beside it: something moved up to the last one,
// and from that to this one nothing does, not by what coding makes of it. A
// camera's own noise sees to it that no two pictures it took are so alike.
#pragma once

#include <memory>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

class RepeatWatch {
 public:
  /// Pictures in order, `luma` CV_8UC1, kept alive by `owner`. True when it
  /// repeats the last one in a film of repeated pictures: not before there were
  /// many().
  bool repeats(const cv::Mat& luma,
               const std::shared_ptr<const void>& owner,
               double t_s);
  /// So many that the film is one of repeated pictures.
  bool many() const;
  int count() const { return repeats_; }
  /// By how much pictures between repeats may be mistimed, all being taken
  /// evenly: half of how far their steps differ. 0 when they do not.
  double mistimed_s() const;

 private:
  cv::Mat last_;
  std::shared_ptr<const void> owner_;
  bool moved_ = false;  // up to the last one
  int in_a_row_ = 0;    // repeats, if something moves after them
  int moves_ = 0;
  int repeats_ = 0;
  double last_move_s_ = 0;
  std::vector<double> steps_s_;  // from one that moved to the next
};

}  // namespace evenfeed
