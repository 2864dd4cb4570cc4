// SPDX-License-Identifier: MIT
// Surface and limits of a shipped profile, for tests that need nothing else.
#pragma once

#include "calibration/calibration.h"

namespace evenfeed {

struct CalibrationProfile {
  Surface surface;
  CalibrationLimits limits;
};

inline CalibrationProfile load_calibration_profile(
    const std::filesystem::path& file) {
  const TomlTable root = TomlTable::read(file);
  return {load_surface(root.table("surface")),
          load_calibration_limits(root.table_or_empty("calibration"))};
}

}  // namespace evenfeed
