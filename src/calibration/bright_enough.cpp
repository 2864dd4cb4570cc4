// SPDX-License-Identifier: MIT
#include "calibration/bright_enough.h"

#include <algorithm>
#include <vector>

namespace evenfeed {

cv::Mat bright_enough(const cv::Mat& luma) {
  constexpr double kBlack = 16, kWhite = 235, kMostGain = 3;
  constexpr double kWorthIt = 1.5;
  constexpr double kWhites = 0.005;  // share of the picture that may clip
  std::vector<int> counts(256, 0);
  for (int v = 0; v < luma.rows; ++v) {
    for (int u = 0; u < luma.cols; ++u) ++counts[luma.at<uchar>(v, u)];
  }
  int brightest = 255;
  for (double above = 0; brightest > kBlack + 1; --brightest) {
    above += counts[brightest];
    if (above > kWhites * luma.total()) break;
  }
  const double gain =
      std::min(kMostGain, (kWhite - kBlack) / (brightest - kBlack));
  if (gain < kWorthIt) return luma;
  cv::Mat bright;
  luma.convertTo(bright, CV_8U, gain, kBlack * (1 - gain));
  return bright;
}

}  // namespace evenfeed
