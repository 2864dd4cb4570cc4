// SPDX-License-Identifier: MIT
#include "film/background_still.h"

#include "base/check.h"
#include "base/parallel.h"
#include "film/row_median.h"
#include "film/video_samples.h"
#include "film/video_source.h"

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
  for_each_index(static_cast<std::size_t>(result.rows), [&](std::size_t row) {
    const int v = static_cast<int>(row);
    cv::Mat values(static_cast<int>(n), result.cols, CV_8U);
    std::vector<uchar*> rows(n);
    for (std::size_t i = 0; i < n; ++i) {
      rows[i] = values.ptr<uchar>(static_cast<int>(i));
      std::copy_n(pictures[i].ptr<uchar>(v), result.cols, rows[i]);
    }
    sort_to_middle(rows, result.cols);
    const uchar* middle = rows[n / 2];
    const uchar* below = n % 2 == 0 ? rows[n / 2 - 1] : middle;
    uchar* out = result.ptr<uchar>(v);
    for (int u = 0; u < result.cols; ++u) {
      out[u] = static_cast<uchar>((middle[u] + below[u] + 1) / 2);
    }
  });
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
