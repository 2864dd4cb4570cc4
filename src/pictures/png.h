// SPDX-License-Identifier: MIT
// Drawings as the bytes of a file.
#pragma once

#include <string>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// Without loss. Throws std::logic_error for no picture at all.
[[nodiscard]] std::string png_of(const cv::Mat& picture);

}  // namespace evenfeed
