// SPDX-License-Identifier: MIT
#include "base/check.h"
#include "base/units.h"
#include "calibration/calibration.h"

namespace evenfeed {

LauncherEnd parse_launcher_end(const std::string& text) {
  if (text.empty()) return LauncherEnd::kNotSaid;
  if (text == "left") return LauncherEnd::kLeft;
  if (text == "right") return LauncherEnd::kRight;
  if (text == "top") return LauncherEnd::kTop;
  if (text == "bottom") return LauncherEnd::kBottom;
  throw UsageError("--launcher-end " + text +
                   ": allowed are left, right, top and bottom (of the "
                   "picture)");
}

void CalibrationLimits::check() const {
  require_positive(max_residual_px, "max_residual_px");
  require_positive(max_residual_m, "max_residual_mm");
  require_in_range(mm_from_m(net_band_m), 0, 300, "net_band_mm");
  require_in_range(mm_from_m(net_sd_m), 0.1, 100, "net_sd_mm");
}

CalibrationLimits load_calibration_limits(const TomlTable& calibration) {
  CalibrationLimits limits;
  limits.max_residual_px =
      calibration.number("max_residual_px", limits.max_residual_px);
  limits.max_residual_m = m_from_mm(
      calibration.number("max_residual_mm", mm_from_m(limits.max_residual_m)));
  limits.net_band_m = m_from_mm(
      calibration.number("net_band_mm", mm_from_m(limits.net_band_m)));
  limits.net_sd_m =
      m_from_mm(calibration.number("net_sd_mm", mm_from_m(limits.net_sd_m)));
  check_loaded(calibration, limits);
  return limits;
}

void CalibrationOptions::check() const {
  limits.check();
  if (camera_height_m) {
    require_in_range(
        mm_from_m(*camera_height_m), 200, 50000, "--camera-height (mm)");
  }
  require_positive(camera_height_sd_m, "camera_height_sd_m");
  require_in_range(exposure_s.value_or(0), 0, 1, "--exposure-ms (s)");
  require_in_range(readout_s.value_or(0), 0, 1, "--readout-ms (s)");
}

}  // namespace evenfeed
