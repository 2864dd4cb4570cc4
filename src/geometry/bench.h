// SPDX-License-Identifier: MIT
// A calibrated bench: the camera over the table, and how well it is known.
// Written by calibrate as bench.toml, read by measure.
#pragma once

#include "geometry/camera_model.h"

#include <filesystem>
#include <string>
#include <string_view>

#include <Eigen/Core>

namespace evenfeed {

/// What calibration leaves uncertain, in this order:
/// focal_px, k1, k2, rotation x y z (rad, a small turn in the camera frame
/// applied after camera_from_table.rotation), translation x y z (m).
inline constexpr int kCameraParameters = 9;
using CameraCovariance =
    Eigen::Matrix<double, kCameraParameters, kCameraParameters>;

struct Bench {
  CameraModel camera;
  CameraCovariance covariance = CameraCovariance::Zero();
  std::string surface_name;  ///< of the profile it was solved with
  double residual_px = 0;    ///< rms over the landmarks used
  double residual_mm = 0;    ///< the same at the table
  int landmarks = 0;         ///< how many were used
  bool half_table = false;   ///< only the receiving half is in view

  void check() const;
};

/// The camera after a small change `delta` of its parameters (see above).
[[nodiscard]] CameraModel moved_camera(
    const CameraModel& camera,
    const Eigen::Matrix<double, kCameraParameters, 1>& delta);

[[nodiscard]] Bench parse_bench(std::string_view toml_text,
                                const std::string& name);
[[nodiscard]] Bench load_bench(const std::filesystem::path& path);
/// The text of bench.toml, every key with its meaning beside it.
std::string bench_text(const Bench& bench);

}  // namespace evenfeed
