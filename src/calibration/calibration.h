// SPDX-License-Identifier: MIT
// From one still picture of a bench to its calibrated camera.
#pragma once

#include "calibration/camera_refiner.h"
#include "calibration/camera_solver.h"
#include "calibration/marks_file.h"
#include "calibration/table_score.h"
#include "geometry/bench.h"
#include "geometry/surface.h"

#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>
#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// Where the launcher stands in the picture as shown.
enum class LauncherEnd { kNotSaid, kLeft, kRight, kTop, kBottom };

/// "left", "right", "top", "bottom"; throws UsageError for anything else.
LauncherEnd parse_launcher_end(const std::string& text);

/// What a profile says about calibrating on its surface.
struct CalibrationLimits {
  double max_residual_px = 1.5;   ///< rms; worse is refused
  double max_residual_m = 0.005;  ///< rms at the table; worse is refused
  double net_band_m = 0.015;      ///< height of the net's white tape, 0 none
  double net_sd_m = 0.001;        ///< how well the net's place is known
  void check() const;
};
/// Reads [calibration]: max_residual_px, max_residual_mm, net_band_mm,
/// net_sd_mm; each may be left out.
CalibrationLimits load_calibration_limits(const TomlTable& calibration);

struct CalibrationOptions {
  CalibrationLimits limits;
  std::optional<KnownLens> lens;
  std::optional<double> camera_height_m;  ///< of the lens above the surface
  double camera_height_sd_m = 0.01;
  std::vector<MarkedPoint> marks;         ///< by hand; none = find the table
  std::optional<PictureSize> marks_size;  ///< of the pictures they are from
  LauncherEnd launcher_end = LauncherEnd::kNotSaid;
  /// Clockwise turn that shows the picture upright (0, 90, 180, 270).
  int rotation_deg = 0;
  /// Copied into the bench; absent = not known.
  std::optional<double> exposure_s, readout_s;
  void check() const;
};

enum class CalibrationStatus {
  kFailed,
  kDone,
  kNoTable,      ///< nothing in the picture looks like the surface
  kTooFewLines,  ///< not enough of it is seen
  kBadFit,       ///< residual above the limit
  kWhichEnd,     ///< a symmetric surface and nothing said or seen moving
  kWrongHalf,    ///< only the launcher's half is in view
};

struct CalibrationResult {
  CalibrationStatus status = CalibrationStatus::kFailed;
  std::string message;  ///< what is wrong and what to do; empty when done
  std::vector<std::string> warnings;  ///< what to know although it is done
  Bench bench;
  double height_m = 0, height_sd_m = 0;  ///< of the eye above the surface
  double focal_sd_px = 0;
  /// How well the table explains the picture, when it was found without marks,
  /// and by how much (nats) better than the next reading of the same lines.
  std::optional<TableScore> score;
  std::optional<double> margin_nats;
  Eigen::Vector3d eye_sd_m = Eigen::Vector3d::Zero();
  /// For the overlay.
  std::vector<SurfaceLine> lines;
  RefinedCamera fit;
  std::vector<MarkedPoint> marks;
  int rotation_deg = 0;

  bool done() const { return status == CalibrationStatus::kDone; }
};

}  // namespace evenfeed
