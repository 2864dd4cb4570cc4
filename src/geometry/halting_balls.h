// SPDX-License-Identifier: MIT
// A film that was saved at another rate than it was taken: pictures stand
// twice, or are blended of two, or invented between two. A ball that flies is
// then seen at one place in two or three pictures and leaps to the next, where
// a ball that was filmed is at each place once, and one that lies stays.
#pragma once

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

class HaltingBalls {
 public:
  /// `same`: what is nearer to a place of the picture before is at that place.
  explicit HaltingBalls(double same) : same_(same) {}
  /// Where something was seen in the next picture.
  void add(const std::vector<Eigen::Vector2d>& places);
  /// Most of what moved on had halted.
  bool many() const;

 private:
  struct Stay {
    Eigen::Vector2d place;
    int pictures = 1;
  };
  double same_;
  std::vector<Stay> now_;
  int halted_ = 0;  // left after two or three pictures
  int passed_ = 0;  // left after one
};

}  // namespace evenfeed
