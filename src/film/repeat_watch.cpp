// SPDX-License-Identifier: MIT
#include "film/repeat_watch.h"

#include <algorithm>

#include <opencv2/core.hpp>

namespace evenfeed {
namespace {

// Grey levels: a ball that flies changes many pixels by more than the one, what
// coding makes of a picture that is repeated hardly any by the other.
constexpr int kMovedLevel = 24, kAlikeLevel = 10;
constexpr int kFewPixels = 4;
// From 15 a second to 60 each stands four times.
constexpr int kMostInARow = 3;
constexpr int kEnough = 10;    // repeats
constexpr double kMany = 0.5;  // for each picture that moved
// A film that moved so often without being one of repeats is none; looking on
// would cost a twentieth of decoding it.
constexpr int kSettled = 300;
constexpr double kPause_s = 0.2;  // without a move: nothing flies
constexpr std::size_t kMostSteps = 4000;
constexpr double kUneven = 0.2;  // of a step

int more_than(const cv::Mat& difference, int level) {
  return cv::countNonZero(difference > level);
}

}  // namespace

bool RepeatWatch::repeats(const cv::Mat& luma,
                          const std::shared_ptr<const void>& owner,
                          double t_s) {
  if (moves_ >= kSettled && !many()) {
    last_.release();
    owner_.reset();
    return false;
  }
  bool moved = false;
  bool same = false;
  if (luma.size() == last_.size()) {
    // Every second row: a ball has several.
    const int rows = luma.rows / 2;
    const cv::Mat now(rows, luma.cols, CV_8UC1, luma.data, 2 * luma.step);
    const cv::Mat then(rows, luma.cols, CV_8UC1, last_.data, 2 * last_.step);
    cv::Mat difference;
    cv::absdiff(now, then, difference);
    moved = more_than(difference, kMovedLevel) > kFewPixels;
    same = !moved && more_than(difference, kAlikeLevel) <= kFewPixels;
  }
  if (same && moved_ && in_a_row_ < kMostInARow) {
    ++in_a_row_;
    // A faint ball that coding smeared away now and then is no such film.
    return many();  // the next is compared with the first of them
  }
  // What rests after a move is no sign of a film of repeated pictures.
  if (moved) repeats_ += in_a_row_;
  in_a_row_ = 0;
  last_ = luma;
  owner_ = owner;
  moved_ = moved;
  if (!moved) return false;
  ++moves_;
  const double step_s = t_s - last_move_s_;
  if (step_s < kPause_s && steps_s_.size() < kMostSteps) {
    steps_s_.push_back(step_s);
  }
  last_move_s_ = t_s;
  return false;
}

bool RepeatWatch::many() const {
  return repeats_ >= kEnough && repeats_ > kMany * moves_;
}

double RepeatWatch::mistimed_s() const {
  if (steps_s_.size() < static_cast<std::size_t>(kEnough)) return 0;
  std::vector<double> steps_s = steps_s_;
  std::sort(steps_s.begin(), steps_s.end());
  const double low_s = steps_s[steps_s.size() / 10];
  const double high_s = steps_s[steps_s.size() * 8 / 10];
  return high_s - low_s > kUneven * high_s ? (high_s - low_s) / 2 : 0;
}

}  // namespace evenfeed
