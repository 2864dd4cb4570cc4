// SPDX-License-Identifier: MIT
// What a user can say about the camera, shared by calibrate and session.
#pragma once

#include "calibration/calibrate_film.h"
#include "cli/arguments.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct Profile;
class JobFiles;
class ProgressLine;

class CalibrationArgs {
 public:
  void setup(Arguments& args);
  void declare(JobFiles& files) const;
  /// Reads the files named. Throws UsageError or InputError.
  CalibrationOptions options(const Profile& profile) const;
  /// What was given, as it is typed, but for --points and --launcher-end,
  /// which marks stand for.
  [[nodiscard]] std::vector<std::string> words() const;

 private:
  std::string lens_;
  std::string points_;
  std::string launcher_end_;
  double camera_height_mm_ = 0;
  std::optional<double> exposure_ms_, readout_ms_;
};

/// Where the picture of what was reached goes; empty: nowhere.
struct OverlayFiles {
  std::string solved;
  std::string refused;  ///< when the calibration is refused
};

/// Calibrates and draws what was reached. Throws InputError with the reason
/// when that is refused.
FilmCalibration calibrate_or_refuse(const std::string& film,
                                    const Profile& profile,
                                    const CalibrationOptions& options,
                                    const OverlayFiles& overlay,
                                    const VideoOptions& video,
                                    ProgressLine& line);

/// Residuals, camera and lens with their uncertainties, a few lines.
std::string bench_words(const Bench& bench);

/// How well a table that was found explains the picture, and by how much better
/// than another reading of its lines; empty after marks.
std::string explains_words(const CalibrationResult& result);

}  // namespace evenfeed
