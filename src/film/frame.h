// SPDX-License-Identifier: MIT
// One decoded picture as the film stores it: brightness, and colour at half
// the size.
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
  /// Colour differences towards blue (Cb) and red (Cr), CV_8UC1, half as wide
  /// and high, 128 for grey. Empty when the film does not store them so.
  cv::Mat blue;
  cv::Mat red;
  std::shared_ptr<const void> owner;
};

}  // namespace evenfeed
