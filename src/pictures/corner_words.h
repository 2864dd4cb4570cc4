// SPDX-License-Identifier: MIT
// Lines of words in a corner of a picture, dark behind them, so that they can
// be read over anything.
#pragma once

#include <string>
#include <vector>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

struct CornerLine {
  std::string words;
  cv::Scalar colour;
};

enum class Corner { kUpperLeft, kLowerLeft };

std::vector<CornerLine> white_lines(const std::vector<std::string>& words);

void draw_corner(cv::Mat& picture,
                 const std::vector<CornerLine>& lines,
                 Corner corner = Corner::kUpperLeft);

}  // namespace evenfeed
