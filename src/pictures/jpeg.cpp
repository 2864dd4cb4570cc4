// SPDX-License-Identifier: MIT
#include "pictures/jpeg.h"

#include "base/check.h"

#include <vector>

#include <opencv2/imgcodecs.hpp>

namespace evenfeed {

std::string jpeg_of(const cv::Mat& picture, int quality) {
  constexpr int kMost_px = 65535;
  require(
      !picture.empty() && picture.cols <= kMost_px && picture.rows <= kMost_px,
      "jpeg_of: no picture of a size that a JPEG can have");
  std::vector<uchar> bytes;
  cv::imencode(".jpg", picture, bytes, {cv::IMWRITE_JPEG_QUALITY, quality});
  return {bytes.begin(), bytes.end()};
}

}  // namespace evenfeed
