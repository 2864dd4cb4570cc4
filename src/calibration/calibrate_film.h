// SPDX-License-Identifier: MIT
// The whole way from a film to its calibrated bench: a still background, the
// direction of flight when nothing else says which end is which, the camera.
#pragma once

#include "calibration/calibration.h"
#include "film/video_samples.h"
#include "film/video_source.h"

#include <filesystem>
#include <functional>

namespace evenfeed {

struct FilmCalibration {
  CalibrationResult result;
  cv::Mat background;  ///< CV_8U, as stored
  int rotation_deg = 0;
  std::vector<std::string> notes;  ///< film_notes()
};

/// Part done, 0..1.
using CalibrationProgress = std::function<void(double)>;

/// The still that a film is calibrated on, as stored.
[[nodiscard]] cv::Mat calibration_still(const std::filesystem::path& film);

/// Reads the film twice at most: stills spread over it, then its beginning
/// frame by frame until the balls' direction is clear (skipped when the end is
/// said, marked, or the surface shows which it is). Throws InputError when the
/// film cannot be read.
FilmCalibration calibrate_film(const std::filesystem::path& film,
                               const Surface& surface,
                               const CalibrationOptions& options,
                               const CalibrationProgress& progress = {},
                               const VideoOptions& video = {});

}  // namespace evenfeed
