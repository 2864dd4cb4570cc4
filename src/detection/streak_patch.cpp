// SPDX-License-Identifier: MIT
#include "detection/streak_patch.h"

#include "detection/streak_model.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

cv::Rect window_around(const Streak& streak, const cv::Mat& plane) {
  const double reach = stretch(streak.outline) * streak.radius_px + 4;
  const Eigen::Array2d half = streak.half_px.array().abs() + reach;
  const Eigen::Array2d low = streak.centre_px.array() - half;
  const Eigen::Array2d high = streak.centre_px.array() + half;
  const cv::Point first(static_cast<int>(std::floor(low.x())),
                        static_cast<int>(std::floor(low.y())));
  const cv::Point last(static_cast<int>(std::ceil(high.x())) + 1,
                       static_cast<int>(std::ceil(high.y())) + 1);
  return cv::Rect(first, last) & cv::Rect(0, 0, plane.cols, plane.rows);
}

StreakPatch patch_of(const cv::Mat& plane,
                     const Background& background,
                     const ToneCurve& tone,
                     const cv::Rect& window) {
  StreakPatch patch;
  patch.origin = window.tl();
  patch.seen.create(window.height, window.width, CV_32FC1);
  patch.expected.create(window.height, window.width, CV_32FC1);
  patch.sigma.create(window.height, window.width, CV_32FC1);
  for (int row = 0; row < window.height; ++row) {
    const int v = window.y + row;
    const auto* from = plane.ptr<std::uint8_t>(v) + window.x;
    const std::int16_t* mean = background.mean_row(v) + window.x;
    const auto scale =
        static_cast<float>(background.gain(v) / Background::kMeanScale);
    auto* seen = patch.seen.ptr<float>(row);
    auto* expected = patch.expected.ptr<float>(row);
    auto* sigma = patch.sigma.ptr<float>(row);
    for (int i = 0; i < window.width; ++i) {
      const float level = from[i];
      seen[i] = tone.light(level);
      expected[i] = tone.light(scale * mean[i]);
      sigma[i] = static_cast<float>(background.noise(from[i])) *
                 std::max(tone.slope(level), 0.3F);
    }
  }
  return patch;
}

}  // namespace evenfeed
