// SPDX-License-Identifier: MIT
#include "film/join_watch.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <vector>

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr int kColumns = 40;      // of blocks, whose means are compared
constexpr int kEveryRow = 4;      // of the picture is enough for a mean
constexpr std::size_t kSide = 4;  // pictures before a join and behind it
// Grey levels: coding moves a mean by one or two.
constexpr double kStep = 4;
constexpr int kFewestPlaces = 3;
// Of all blocks: where so many are brighter, and so many darker, another
// picture was put in this one's place. Light that is switched has one sign.
constexpr double kAllOver = 0.1;
// Beyond that the picture went dark, which is no cut.
constexpr double kMostGain = 4;
constexpr double kLeastBetween_s = 2;  // on the average, of more than kFew
constexpr std::size_t kFew = 4;

// Where n parts begin that are as equal as whole pixels allow, and where the
// last ends.
std::vector<int> edges_of(int n, int pixels) {
  std::vector<int> edges;
  for (std::int64_t k = 0; k <= n; ++k) {
    edges.push_back(static_cast<int>(k * pixels / n));
  }
  return edges;
}

// By hand: cv::resize takes a tenth of a film's decoding for it, since its
// blocks are no whole number of pixels.
cv::Mat means_of(const cv::Mat& luma) {
  const int step = std::min(kEveryRow, luma.rows);
  const int rows = luma.rows / step;
  const int columns = std::min(kColumns, luma.cols);
  const int high = std::min(std::max(1, luma.rows * columns / luma.cols), rows);
  const std::vector<int> across = edges_of(columns, luma.cols);
  const std::vector<int> down = edges_of(high, rows);
  cv::Mat means(high, columns, CV_8UC1);
  std::vector<std::uint32_t> sums(static_cast<std::size_t>(columns));
  for (std::size_t block = 0; block + 1 < down.size(); ++block) {
    std::fill(sums.begin(), sums.end(), 0);
    for (int row = down[block]; row < down[block + 1]; ++row) {
      const std::uint8_t* pixels = luma.ptr<std::uint8_t>(row * step);
      for (std::size_t k = 0; k < sums.size(); ++k) {
        sums[k] += std::accumulate(
            pixels + across[k], pixels + across[k + 1], std::uint32_t{0});
      }
    }
    auto* mean = means.ptr<std::uint8_t>(static_cast<int>(block));
    const int high_rows = down[block + 1] - down[block];
    for (std::size_t k = 0; k < sums.size(); ++k) {
      const int pixels = high_rows * (across[k + 1] - across[k]);
      mean[k] = static_cast<std::uint8_t>(
          std::lround(static_cast<double>(sums[k]) / pixels));
    }
  }
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

// A block's step up, negative for down; 0 for what also moves by itself.
double step_of(const Range& was, const Range& now) {
  const double moved = (now.high - now.low) + (was.high - was.low);
  const double least = std::max(kStep, moved);
  if (now.low - was.high > least) return now.low - was.high;
  return was.low - now.high > least ? now.high - was.low : 0;
}

bool another_picture(const std::vector<Range>& before,
                     const std::vector<Range>& behind) {
  int up = 0, down = 0;
  for (std::size_t k = 0; k < before.size(); ++k) {
    const double step = step_of(before[k], behind[k]);
    up += step > 0;
    down += step < 0;
  }
  return std::min(up, down) > kAllOver * static_cast<double>(before.size());
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
  if (another_picture(before, behind)) return true;
  std::vector<double> gains;
  for (std::size_t k = 0; k < before.size(); ++k) {
    gains.push_back((behind[k].middle() + 1) / (before[k].middle() + 1));
  }
  const double gain = median_of(gains);
  if (gain > kMostGain || gain < 1 / kMostGain) return false;
  cv::Mat stepped(size, CV_8UC1, cv::Scalar(0));
  for (std::size_t k = 0; k < before.size(); ++k) {
    const Range was{gain * before[k].low, gain * before[k].high};
    stepped.ptr<std::uint8_t>()[k] = step_of(was, behind[k]) != 0;
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
