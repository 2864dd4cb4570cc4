// SPDX-License-Identifier: MIT
// A drawing as pixels. FFmpeg does it where it was built with librsvg, as
// Debian's is.
#pragma once

#include <optional>
#include <string>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// CV_8UC3, blue first, so many pixels wide; nullopt where FFmpeg cannot, or
/// `svg` is none. What is transparent comes out black.
[[nodiscard]] std::optional<cv::Mat> picture_of_svg(const std::string& svg,
                                                    int width_px);

}  // namespace evenfeed
