// SPDX-License-Identifier: MIT
// One still picture to a calibration.
#pragma once

#include "calibration/calibration.h"

namespace evenfeed {

/// `background` is CV_8U brightness. Expected failures come back as a status;
/// the overlay can still be drawn from what was reached.
CalibrationResult calibrate_still(const cv::Mat& background,
                                  const Surface& surface,
                                  const CalibrationOptions& options);

/// Goes on from a result with status kWhichEnd, now that it is known which way
/// along x (+1 or -1) the balls fly in the undecided camera's table frame.
CalibrationResult settle_calibration(CalibrationResult undecided,
                                     const cv::Mat& background,
                                     const Surface& surface,
                                     const CalibrationOptions& options,
                                     double flight_along_x);

/// A mark farther from where the solution has it is called off.
[[nodiscard]] double mark_off_limit_px(int width_px);

}  // namespace evenfeed
