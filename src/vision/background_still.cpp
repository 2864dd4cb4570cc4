// SPDX-License-Identifier: MIT
#include "vision/background_still.h"

#include "base/check.h"
#include "vision/video_source.h"

#include <algorithm>

namespace evenfeed {

cv::Mat median_picture(const std::vector<cv::Mat>& pictures) {
  require(!pictures.empty(), "median_picture: no pictures");
  const std::size_t n = pictures.size();
  for (const cv::Mat& picture : pictures) {
    require(picture.type() == CV_8U && picture.size() == pictures[0].size(),
            "median_picture: pictures differ in size or are not 8-bit");
  }
  cv::Mat result(pictures[0].size(), CV_8U);
  std::vector<const uchar*> rows(n);
  std::vector<uchar> values(n);
  for (int v = 0; v < result.rows; ++v) {
    for (std::size_t i = 0; i < n; ++i) rows[i] = pictures[i].ptr<uchar>(v);
    uchar* out = result.ptr<uchar>(v);
    for (int u = 0; u < result.cols; ++u) {
      for (std::size_t i = 0; i < n; ++i) values[i] = rows[i][u];
      const auto middle = values.begin() + n / 2;
      std::nth_element(values.begin(), middle, values.end());
      int value = *middle;
      if (n % 2 == 0) {
        value = (value + *std::max_element(values.begin(), middle) + 1) / 2;
      }
      out[u] = static_cast<uchar>(value);
    }
  }
  return result;
}

cv::Mat background_still(const std::filesystem::path& film, int frames) {
  std::vector<cv::Mat> pictures;
  for (const Frame& frame : sample_frames(film, frames)) {
    pictures.push_back(frame.luma);
  }
  return median_picture(pictures);
}

}  // namespace evenfeed
