// SPDX-License-Identifier: MIT
// The cameras of the random worlds: where they stand, what they are, and what
// a calibration would have found of them.
#pragma once

#include "geometry/bench.h"
#include "geometry/surface.h"
#include "simulate/scene.h"

#include <cstdint>

namespace evenfeed {

struct WorldView {
  SceneCamera camera;  ///< as it is
  double elevation_deg = 90;
  double azimuth_deg = 0;  ///< of the eye, from +x (behind the far end)
};

/// A camera that has the receiving half in its picture, with room.
WorldView draw_view(std::uint64_t seed, const Surface& surface);

/// The camera a calibration finds on the surface's landmarks: the true one
/// moved by a draw from the covariance it states, which is that of landmarks
/// found to `landmark_px`. The shutter is the true one.
Bench calibrated(const CameraModel& truth,
                 const Surface& surface,
                 double landmark_px,
                 std::uint64_t seed);

/// Tells the bench how long the rows take and the shutter is open, or not.
void tell_shutter(CameraModel& bench,
                  const CameraModel& truth,
                  bool readout_known,
                  bool exposure_known);

}  // namespace evenfeed
