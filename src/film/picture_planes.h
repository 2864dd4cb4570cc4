// SPDX-License-Identifier: MIT
// From a decoded FFmpeg picture to 8-bit planes, by the cheapest way its pixel
// format allows. Internal to film: no other folder sees FFmpeg.
#pragma once

#include <opencv2/core/mat.hpp>

struct AVFrame;
struct SwsContext;

namespace evenfeed {

/// CV_8UC1 each. They refer to the picture's memory where it has them as 8-bit
/// planes and own their pixels otherwise. `luma` is empty when the format
/// cannot be read at all, the others when colour is not stored at half size.
struct PicturePlanes {
  cv::Mat luma;
  cv::Mat blue;
  cv::Mat red;
};

class PlaneReader {
 public:
  PlaneReader() = default;
  ~PlaneReader();
  PlaneReader(const PlaneReader&) = delete;
  PlaneReader& operator=(const PlaneReader&) = delete;

  PicturePlanes read(const AVFrame& picture);

 private:
  cv::Mat converted(const AVFrame& picture);
  SwsContext* scaler_ = nullptr;
};

}  // namespace evenfeed
