// SPDX-License-Identifier: MIT
// What the flight fit believes before it has seen a ball: priors from the
// profile, each a value and a standard deviation.
#pragma once

#include "base/toml_file.h"
#include "geometry/surface.h"

namespace evenfeed {

struct FlightOptions {
  Ball ball;                        ///< radius and mass
  double air_density_kgpm3 = 1.20;  ///< 20 degrees C at sea level
  double drag = 0.50;               ///< drag coefficient Cd
  double drag_sd = 0.05;
  double lift_sd = 0.20;       ///< lift coefficient up or down, mean 0
  double side_lift_sd = 0.10;  ///< lift coefficient sideways, mean 0
  double restitution = 0.92;   ///< normal, with air drag in the model
  double restitution_sd = 0.05;
  double friction = 0.22;     ///< ball on table, sliding
  double kick_sd = 0.20;      ///< of kick about its no-spin value: spin is free
  double turn_sd_rad = 0.10;  ///< change of heading at the bounce
  double outlier_sigma = 4.0;     ///< a sighting further off is not used,
  double least_outlier_px = 1.0;  ///< unless it is nearer than this

  /// Acceleration by drag per Cd and (m/s)^2: rho A / (2 m), in 1/m.
  double air_per_m() const;
  void check() const;
};

/// Reads [ball] and [flight] of a profile.
FlightOptions load_flight_options(const TomlTable& profile_root);

}  // namespace evenfeed
