// SPDX-License-Identifier: MIT
// A film that was saved at another rate than it was taken: pictures stand
// twice, or are blended of two, or invented between two. A ball that flies is
// then seen at one place in two or three pictures and leaps to the next, where
// a ball that was filmed is at each place once, and one that lies stays.
//
// Where only some pictures stand twice, two things may have happened. Pictures
// were lost and the ones before put in their place: from a place where it stood
// for two pictures the ball has twice as far to the next. Or fewer pictures a
// second were taken than are shown (24 or 25 for 30, 50 for 60): then it goes
// equally far from every place, and no picture has the time it says.
#pragma once

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

class HaltingBalls {
 public:
  /// `same`: what is nearer to a place of the picture before is at that place.
  explicit HaltingBalls(double same) : same_(same) {}
  /// Where something was seen in the next picture.
  void add(const std::vector<Eigen::Vector2d>& places, double t_s);
  /// Most of what moved on had halted.
  bool many() const;
  /// What stood longer went no further: pictures do not have their own times.
  bool mistimed() const;

 private:
  struct Stay {
    Eigen::Vector2d place;
    double since_s = 0;
    int pictures = 1;
    Eigen::Vector2d step{0, 0};  ///< that led here, 0 when not known
    double step_s = 0;
    bool ahead = false;  ///< that step went on as the one before
  };
  void come_from(const std::vector<Stay>& left, Stay& now);

  double same_;
  std::vector<Stay> now_;
  int halted_ = 0;   // left after two or three pictures
  int passed_ = 0;   // left after one
  int further_ = 0;  // of unequal stays: went as far as their times say
  int alike_ = 0;    // or equally far
};

}  // namespace evenfeed
