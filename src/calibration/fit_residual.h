// SPDX-License-Identifier: MIT
// What a solved camera leaves between the picture and the surface's lines and
// marks, beside what the profile allows.
#pragma once

#include "calibration/calibration.h"

#include <vector>

namespace evenfeed {

/// Lines are not found better than that.
inline constexpr double kFinest_px = 0.25;

struct FitResidual {
  double px = 0, mm = 0;  ///< rms; mm at the table
  /// The profile's limit, or what marks may miss by the sd they state.
  double allowed_px = 0;
  bool within = false;  ///< the limits, and most line points agree
};

/// `shows_all`: the picture shows so much of a table that it may be off the
/// profile's by more than usual.
[[nodiscard]] FitResidual fit_residual(const RefinedCamera& fit,
                                       const std::vector<SurfaceLine>& lines,
                                       const std::vector<MarkedPoint>& marks,
                                       const CalibrationLimits& limits,
                                       bool shows_all = false);

/// Of a table that is not flat (fit_uneven_table): marks must lie where they
/// were made, and lines no farther off than a landing may be known to at worst.
[[nodiscard]] FitResidual uneven_residual(const RefinedCamera& fit,
                                          const std::vector<SurfaceLine>& lines,
                                          const std::vector<MarkedPoint>& marks,
                                          const CalibrationLimits& limits);

}  // namespace evenfeed
