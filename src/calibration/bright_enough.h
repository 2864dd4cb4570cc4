// SPDX-License-Identifier: MIT
#pragma once

#include <opencv2/core.hpp>

namespace evenfeed {

/// A dark picture (8 bits of brightness) as a longer exposure would show it:
/// lines are found by their contrast in grey levels. One that would gain little
/// stays as it is.
cv::Mat bright_enough(const cv::Mat& luma);

}  // namespace evenfeed
