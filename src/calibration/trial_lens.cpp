// SPDX-License-Identifier: MIT
#include "calibration/trial_lens.h"

#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

constexpr double kTrialFocal = 0.8;  // picture widths

}  // namespace

cv::Mat straightened(const cv::Mat& luma, double k1) {
  const double focal = kTrialFocal * luma.cols;
  const double cu = (luma.cols - 1) / 2.0, cv = (luma.rows - 1) / 2.0;
  cv::Mat from_u(luma.size(), CV_32F), from_v(luma.size(), CV_32F);
  for (int v = 0; v < luma.rows; ++v) {
    for (int u = 0; u < luma.cols; ++u) {
      const double x = (u - cu) / focal, y = (v - cv) / focal;
      const double d = 1 + k1 * (x * x + y * y);
      from_u.at<float>(v, u) = static_cast<float>(cu + focal * d * x);
      from_v.at<float>(v, u) = static_cast<float>(cv + focal * d * y);
    }
  }
  cv::Mat result;
  cv::remap(luma, result, from_u, from_v, cv::INTER_CUBIC);
  return result;
}

void bend(CameraModel& camera, double k1) {
  const double ratio = camera.lens.focal_px / (kTrialFocal * camera.width_px);
  camera.lens.k1 = k1 * ratio * ratio;
}

}  // namespace evenfeed
