// SPDX-License-Identifier: MIT
// Start values for the flight fit that cannot miss the minimum: for a given
// moment of bounce the arcs are nearly linear in everything else, so the moment
// is scanned and the rest solved by Gauss-Newton.
//
// Each sighting's line of sight (eye C, unit direction d) gives two equations
//   e_k . (X_b + L v + l a + rest - C) = 0,   e_1, e_2 normal to d
// in the bounce (x_b, y_b), its velocities v and extra accelerations a; levers
// and rest are those of the solution before (trial_arc.h). Gravity is the ruler
// (physics of one camera: a scale cannot be seen without it or a plane), the
// plane z = r the other. A sighting far off its arc weighs less (Huber), or one
// of something else would bend the arc at the right moment.
#pragma once

#include "flight/flight_model.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"

#include <vector>

namespace evenfeed {

struct ScanOptions {
  double step_s = 0.008;       ///< between the moments tried at first
  double beyond_s = 0.40;      ///< how far outside the sightings to look
  double window_out_s = 0.20;  ///< sightings after the bounce that are fitted
  double cap_px = 6.0;         ///< a worse sighting counts no more than this
  int keep = 4;                ///< local minima to return; 0: only last_gaps
  /// Beside them the best after the last sighting and between the last ones:
  /// with a single sighting after the bounce there is no minimum at it.
  int last_gaps = 0;
  void check() const;
};

/// The best starts, best first; empty with fewer than 4 sightings.
/// `sightings` must be in order of time.
[[nodiscard]] std::vector<FlightVector> scan_for_bounce(
    const std::vector<Sighting>& sightings,
    const CameraModel& camera,
    const FlightOptions& options,
    const ScanOptions& scan = {});

}  // namespace evenfeed
