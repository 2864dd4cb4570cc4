// SPDX-License-Identifier: MIT
#include "film/comb_watch.h"

#include <cstdlib>

namespace evenfeed {
namespace {

constexpr int kMoved = 24;  // grey levels; noise and flicker stay below
constexpr int kAlike = 12;  // rows of one field
constexpr std::int64_t kEnoughMoved = 2000;
// Whole pictures show a few per cent (thin lines seen through what moves),
// torn ones more than half.
constexpr double kTornShare = 0.25;

bool is_torn(const cv::Mat& luma, int v, int u) {
  const int here = luma.at<std::uint8_t>(v, u);
  const int above = luma.at<std::uint8_t>(v - 1, u);
  const int below = luma.at<std::uint8_t>(v + 1, u);
  const bool between_two = (here - above > kMoved && here - below > kMoved) ||
                           (above - here > kMoved && below - here > kMoved);
  return between_two && std::abs(above - below) < kAlike &&
         (std::abs(here - luma.at<std::uint8_t>(v - 2, u)) < kAlike ||
          std::abs(here - luma.at<std::uint8_t>(v + 2, u)) < kAlike);
}

}  // namespace

void CombWatch::add(const cv::Mat& luma) {
  if (!last_.empty() && !sure()) {
    for (int v = 2; v < luma.rows - 2; ++v) {
      const auto* now = luma.ptr<std::uint8_t>(v);
      const auto* before = last_.ptr<std::uint8_t>(v);
      for (int u = 0; u < luma.cols; ++u) {
        if (std::abs(now[u] - before[u]) <= kMoved) continue;
        ++moved_;
        torn_ += is_torn(luma, v, u);
      }
    }
  }
  if (!sure()) luma.copyTo(last_);
}

bool CombWatch::sure() const { return moved_ >= kEnoughMoved; }

bool CombWatch::torn() const {
  return sure() &&
         static_cast<double>(torn_) > kTornShare * static_cast<double>(moved_);
}

}  // namespace evenfeed
