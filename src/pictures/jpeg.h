// SPDX-License-Identifier: MIT
// Pictures as the bytes of a file.
#pragma once

#include <string>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// `quality` from 0 to 100. Throws std::logic_error for a picture that no JPEG
/// can hold (none at all, more than 65535 pixels wide or high).
[[nodiscard]] std::string jpeg_of(const cv::Mat& picture, int quality);

}  // namespace evenfeed
