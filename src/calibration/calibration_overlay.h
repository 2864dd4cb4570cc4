// SPDX-License-Identifier: MIT
// A picture to judge a calibration by eye: the background still with the
// surface's lines drawn where the solved camera puts them, the residual of
// every cut as a magnified bar, the landmarks by name and the table's axes.
#pragma once

#include "calibration/calibration.h"

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// 8-bit BGR, turned upright. Works for a failed calibration too, as far as it
/// got: then the picture shows the best guess, or only the still.
cv::Mat draw_overlay(const cv::Mat& background,
                     const Surface& surface,
                     const CalibrationResult& result);

}  // namespace evenfeed
