// SPDX-License-Identifier: MIT
// From a decoded FFmpeg picture to an 8-bit brightness plane, by the cheapest
// way its pixel format allows. Internal to vision: no other folder sees FFmpeg.
#pragma once

#include <memory>
#include <string>

#include <opencv2/core/mat.hpp>

struct AVFrame;
struct SwsContext;

namespace evenfeed {

class LumaReader {
 public:
  LumaReader() = default;
  ~LumaReader();
  LumaReader(const LumaReader&) = delete;
  LumaReader& operator=(const LumaReader&) = delete;

  /// CV_8UC1 that refers to `picture`'s memory where the format has an 8-bit
  /// brightness plane, and owns its pixels otherwise. Empty when the format
  /// cannot be read at all.
  cv::Mat read(const AVFrame& picture);

 private:
  cv::Mat converted(const AVFrame& picture);
  SwsContext* scaler_ = nullptr;
};

}  // namespace evenfeed
