// SPDX-License-Identifier: MIT
// A camera and a feed for the tests of the fit.
#pragma once

#include "base/random.h"
#include "base/toml_file.h"
#include "base/units.h"
#include "flight/flight_model.h"
#include "geometry/camera_model.h"
#include "geometry/sighting.h"
#include "geometry/surface.h"

#include <cmath>
#include <random>
#include <vector>

namespace evenfeed {

/// 1920 x 1080, focal length 1000 px, `side_deg` to the side of the bounce at
/// 2.5 m above the table (physics of one camera: 0 is straight overhead).
inline CameraModel camera_at(double side_deg) {
  CameraModel camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.lens = {1000, 959.5, 539.5, -0.05, 0};
  const double side_m = 2.5 * std::tan(rad_from_deg(side_deg));
  camera.camera_from_table =
      look_at({0.9, side_m, 2.5},
              {0.1, 0, 0},
              {0, side_deg > 5 ? 0. : 1., side_deg > 5 ? 1. : 0.});
  return camera;
}

inline Surface whole_table() {
  return load_surface(
      TomlTable::read(EVENFEED_ROOT "/profiles/table-tennis.toml")
          .table("surface"));
}

/// A feed of 5 m/s that descends by 27 degrees and slides.
inline FlightVector usual_flight() {
  FlightVector p = FlightVector::Zero();
  p[kTimeOfBounce] = 1.0;
  p[kBounceX] = 0.70;
  p[kBounceY] = 0.05;
  p.segment<3>(kVelocityIn) = Eigen::Vector3d(4.5, 0.1, -2.3);
  p.segment<3>(kVelocityOut) = Eigen::Vector3d(3.6, 0.08, 2.1);
  p[kLiftIn] = -0.1;
  p[kLiftOut] = -0.05;
  p[kSideLiftIn] = 0.03;
  p[kDrag] = 0.5;
  return p;
}

/// Sightings of a flight, 0.4 s before the bounce to 0.17 s after, with noise.
inline std::vector<Sighting> sightings_of(const FlightVector& p,
                                          const CameraModel& camera,
                                          double fps,
                                          double noise_px,
                                          RandomEngine& random,
                                          double after_s = 0.17) {
  std::normal_distribution<double> noise(0, 1);
  const double phase = std::uniform_real_distribution<double>(0, 1)(random);
  std::vector<Sighting> all;
  const FlightOptions options;
  for (double t = p[kTimeOfBounce] - 0.4 + phase / fps;
       t < p[kTimeOfBounce] + after_s;
       t += 1 / fps) {
    Sighting s;
    s.t_s = t;
    s.sigma_px = noise_px > 0 ? noise_px : 0.1;
    s.centre_px = *camera.project(flight_state(p, options, t).x_m);
    s.centre_px += noise_px * Eigen::Vector2d(noise(random), noise(random));
    all.push_back(s);
  }
  return all;
}

/// Where a glossy table shows the ball of `p` at the times of `balls`.
inline std::vector<Sighting> images_of(const FlightVector& p,
                                       const CameraModel& camera,
                                       std::vector<Sighting> balls) {
  for (Sighting& s : balls) {
    Eigen::Vector3d x_m = flight_state(p, FlightOptions{}, s.t_s).x_m;
    x_m.z() = -x_m.z();
    s.centre_px = *camera.project(x_m);
  }
  return balls;
}

}  // namespace evenfeed
