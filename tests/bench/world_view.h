// SPDX-License-Identifier: MIT
// The empty hall of a random world, calibrated and held against its camera.
#pragma once

#include "bench/world.h"

#include <string>

namespace evenfeed {

/// What calibrating the empty hall's picture came to.
struct ViewScore {
  enum class Kind { kRight, kRough, kRefused, kWrong } kind = Kind::kRefused;
  double worst_corner_m = 0;  ///< of the surface's corners, as the solved
                              ///< camera sees them, at the table
  double focal_sigmas = 0, eye_sigmas = 0;  ///< error over stated
  std::string said;                         ///< when refused
};

/// Calibrates from the still; right: corners within 10 mm, rough: 50 mm.
ViewScore calibrate_world(const RandomWorld& world);

}  // namespace evenfeed
