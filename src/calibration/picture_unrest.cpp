// SPDX-License-Identifier: MIT
#include "calibration/picture_unrest.h"

#include "stats/descriptive.h"

#include <cmath>

#include <opencv2/imgproc.hpp>

namespace evenfeed {

double picture_unrest_px(const std::vector<cv::Mat>& pictures) {
  constexpr std::size_t kFewest = 4;
  constexpr double kSameScene = 0.1;  // height of the peak; 1 for a pure shift
  if (pictures.size() < kFewest) return 0;
  std::vector<double> shifts_px;
  std::vector<double> peaks;
  cv::Mat window, before;
  cv::createHanningWindow(window, pictures.front().size(), CV_32F);
  for (const cv::Mat& picture : pictures) {
    cv::Mat now;
    picture.convertTo(now, CV_32F);
    if (!before.empty()) {
      double peak = 0;
      const cv::Point2d shift = cv::phaseCorrelate(before, now, window, &peak);
      shifts_px.push_back(std::hypot(shift.x, shift.y));
      peaks.push_back(peak);
    }
    before = now;
  }
  return median(peaks) < kSameScene ? 0 : median(shifts_px);
}

}  // namespace evenfeed
