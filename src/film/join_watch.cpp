// SPDX-License-Identifier: MIT
#include "film/join_watch.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr int kColumns = 40;      // of blocks, whose means are compared
constexpr int kEveryRow = 4;      // of the picture is enough for a mean
constexpr std::size_t kSide = 4;  // pictures before a join and behind it
// Grey levels: coding moves a mean by one or two.
constexpr double kStep = 4;
constexpr int kFewestPlaces = 3;
// Beyond that the picture went dark, which is no cut.
constexpr double kMostGain = 4;
constexpr double kLeastBetween_s = 2;  // on the average, of more than kFew
constexpr std::size_t kFew = 4;

cv::Mat means_of(const cv::Mat& luma) {
  const int step = std::min(kEveryRow, luma.rows);
  const cv::Mat rows(luma.rows / step,
                     luma.cols,
                     CV_8UC1,
                     luma.data,
                     luma.step * static_cast<std::size_t>(step));
  const int columns = std::min(kColumns, luma.cols);
  const int high = std::max(1, luma.rows * columns / luma.cols);
  cv::Mat means;
  cv::resize(
      rows, means, {columns, std::min(high, rows.rows)}, 0, 0, cv::INTER_AREA);
  return means;
}

struct Range {
  double low = 255, high = 0;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
  double middle() const { return (low + high) / 2; }
};

double median_of(std::vector<double> values) {
  const auto middle =
      values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

bool JoinWatch::joined() const {
  const cv::Size size = last_.front().means.size();
  std::vector<Range> before(static_cast<std::size_t>(size.area()));
  std::vector<Range> behind(before.size());
  for (std::size_t i = 0; i < last_.size(); ++i) {
    std::vector<Range>& side = i < kSide ? before : behind;
    const auto* mean = last_[i].means.ptr<std::uint8_t>();
    for (std::size_t k = 0; k < side.size(); ++k) side[k].take(mean[k]);
  }
  std::vector<double> gains;
  for (std::size_t k = 0; k < before.size(); ++k) {
    gains.push_back((behind[k].middle() + 1) / (before[k].middle() + 1));
  }
  const double gain = median_of(gains);
  if (gain > kMostGain || gain < 1 / kMostGain) return false;
  cv::Mat stepped(size, CV_8UC1, cv::Scalar(0));
  for (std::size_t k = 0; k < before.size(); ++k) {
    const Range& now = behind[k];
    const Range was{gain * before[k].low, gain * before[k].high};
    const double apart = std::max(now.low - was.high, was.low - now.high);
    const double moved = (now.high - now.low) + (was.high - was.low);
    stepped.ptr<std::uint8_t>()[k] = apart > std::max(kStep, moved);
  }
  cv::Mat places;
  return cv::connectedComponents(stepped, places) - 1 >= kFewestPlaces;
}

void JoinWatch::add(const cv::Mat& luma, double t_s) {
  if (last_.empty()) first_s_ = t_s;
  last_s_ = t_s;
  last_.push_back({t_s, means_of(luma)});
  if (last_.size() > 2 * kSide) last_.pop_front();
  if (last_.size() == 2 * kSide && joined()) {
    joins_s_.push_back(last_[kSide].t_s);
  }
}

std::vector<double> JoinWatch::joins_s() const {
  const bool too_many = joins_s_.size() > kFew &&
                        static_cast<double>(joins_s_.size()) * kLeastBetween_s >
                            last_s_ - first_s_;
  return too_many ? std::vector<double>{} : joins_s_;
}

}  // namespace evenfeed
