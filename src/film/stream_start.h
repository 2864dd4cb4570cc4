// SPDX-License-Identifier: MIT
// Of a stream without stamps: what was read to learn what it holds comes at
// once, and nobody knows when it was sent. Then comes the camera's pace. A
// single pause says nothing, since this machine has other work; pictures that
// take their time one after the other do. Internal to film.
#pragma once

#include <deque>

namespace evenfeed {

class StreamStart {
 public:
  /// `rate_hz`: the camera's; 0: not known.
  explicit StreamStart(double rate_hz);

  /// A picture came at `now_s`, on any clock that runs evenly. True when those
  /// that come now come as the camera sends them; then always.
  [[nodiscard]] bool over(double now_s);

 private:
  double least_s_;  // that pictures at the camera's pace take
  bool over_ = false;
  std::deque<double> came_s_;
};

}  // namespace evenfeed
