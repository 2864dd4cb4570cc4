// SPDX-License-Identifier: MIT
#include "pictures/corner_words.h"

#include "pictures/drawing.h"

#include <algorithm>

namespace evenfeed {

std::vector<CornerLine> white_lines(const std::vector<std::string>& words) {
  std::vector<CornerLine> lines;
  for (const std::string& line : words) {
    lines.push_back({line, cv::Scalar::all(255)});
  }
  return lines;
}

void draw_corner(cv::Mat& picture,
                 const std::vector<CornerLine>& lines,
                 Corner corner) {
  if (lines.empty()) return;
  const double scale = std::max(0.45, picture.rows / 1150.);
  const int step = static_cast<int>(36 * scale);
  int wide = 0;
  for (const CornerLine& line : lines) {
    wide = std::max(wide, words_width_px(line.words, scale));
  }
  const int high = static_cast<int>(lines.size()) * step + step / 2;
  const int top = corner == Corner::kUpperLeft ? 0 : picture.rows - high;
  const cv::Rect box =
      cv::Rect(0, top, wide + step, high) & cv::Rect({}, picture.size());
  cv::Mat part = picture(box);
  part.convertTo(part, -1, 0.35);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    draw_words(picture,
               lines[i].words,
               {step / 2., top + step * (static_cast<double>(i) + 0.9)},
               lines[i].colour,
               scale);
  }
}

}  // namespace evenfeed
