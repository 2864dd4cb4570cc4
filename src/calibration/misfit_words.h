// SPDX-License-Identifier: MIT
// What is said of a camera that does not fit: how far, which mark is the worst,
// and what else may be the matter with the table or the picture.
#pragma once

#include "calibration/bent_lines.h"
#include "calibration/calibration.h"
#include "calibration/fit_residual.h"

#include <string>

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// "the line ... lies up to ... beside where the others have it ..."
[[nodiscard]] std::string bent_words(const BentLine& bent);
/// ... and what to do where balls land on it.
[[nodiscard]] std::string bent_refusal(const BentLine& bent);

/// Empty when square pixels are as good as any.
[[nodiscard]] std::string squeeze_words(const CalibrationResult& result,
                                        const CameraSolverOptions& solver);

/// The refusal of a result whose residual is `left`.
[[nodiscard]] std::string misfit_words(const cv::Mat& luma,
                                       const CalibrationResult& result,
                                       const FitResidual& left,
                                       const CameraSolverOptions& solver,
                                       const CalibrationLimits& limits);

}  // namespace evenfeed
