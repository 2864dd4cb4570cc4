// SPDX-License-Identifier: MIT
// One decoded picture: its brightness plane and nothing else.
#pragma once

#include <memory>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct Frame {
  int index = -1;  ///< counts the frames handed out, from 0
  double t_s = 0;  ///< the container's time stamp, s after the first frame's
  /// CV_8UC1, to be read and never written: it may be the decoder's own
  /// picture. Copies of the header stay valid only while a Frame holds `owner`;
  /// clone() what must live longer.
  cv::Mat luma;
  std::shared_ptr<const void> owner;
};

}  // namespace evenfeed
