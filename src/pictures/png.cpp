// SPDX-License-Identifier: MIT
#include "pictures/png.h"

#include "base/check.h"

#include <vector>

#include <opencv2/imgcodecs.hpp>

namespace evenfeed {

std::string png_of(const cv::Mat& picture) {
  require(!picture.empty(), "png_of: no picture");
  std::vector<uchar> bytes;
  cv::imencode(".png", picture, bytes);
  return {bytes.begin(), bytes.end()};
}

}  // namespace evenfeed
