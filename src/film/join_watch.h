// SPDX-License-Identifier: MIT
// Where pieces of a film were put together: from one picture to the next things
// in several places are other than they were, and stay so, though nothing moved
// there before or after. What moves by itself does not: it is seen on its way.
// A light that is switched changes all in proportion, a flash goes again, and
// one lamp or screen is one place, unless much of the picture became brighter
// and much of it darker at once. What shows no such thing (an empty bench
// from a tripod) may be cut unseen.
#pragma once

#include <deque>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

class JoinWatch {
 public:
  /// Pictures in order, `luma` CV_8UC1, all of one size.
  void add(const cv::Mat& luma, double t_s);
  /// Times of the first picture behind each join. None when there are more than
  /// anybody cuts: then something in view blinks.
  std::vector<double> joins_s() const;

 private:
  bool joined() const;

  struct Picture {
    double t_s = 0;
    cv::Mat means;  // of blocks
  };
  std::deque<Picture> last_;
  std::vector<double> joins_s_;
  double first_s_ = 0, last_s_ = 0;
};

}  // namespace evenfeed
