// SPDX-License-Identifier: MIT
#include "film/median_frame.h"

#include "film/background_still.h"

namespace evenfeed {

Frame median_frame(const std::vector<Frame>& frames) {
  const auto median_of = [&](cv::Mat Frame::*plane) {
    std::vector<cv::Mat> planes;
    for (const Frame& frame : frames) {
      if ((frame.*plane).empty()) return cv::Mat();
      planes.push_back(frame.*plane);
    }
    return median_picture(planes);
  };
  Frame still;
  still.luma = median_of(&Frame::luma);
  still.blue = median_of(&Frame::blue);
  still.red = median_of(&Frame::red);
  return still;
}

}  // namespace evenfeed
