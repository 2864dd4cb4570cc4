// SPDX-License-Identifier: MIT
// An invented bench as frames of sightings: what a camera's film would give.
#pragma once

#include "pipeline/frame_measurer.h"
#include "unit/flight/flight_bench.h"

#include <cmath>
#include <limits>
#include <vector>

namespace evenfeed {

struct BenchFrames {
  Bench bench;
  Profile profile = load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  std::vector<FrameSightings> frames;
  std::vector<double> last_seen_s;  ///< of each feed
  std::vector<double> bounce_s;
  std::vector<FlightVector> flights;
};

/// `feeds` feeds, one every 1.5 s at 60 frames a second; the watch over the
/// camera settles 1.5 s behind, as it does in a film.
inline BenchFrames bench_frames(int feeds, std::uint64_t seed = 1) {
  constexpr double kRate_hz = 60;
  constexpr double kBehind_s = 1.5;
  BenchFrames made;
  made.bench.camera = camera_at(30);
  made.bench.camera.readout_s = 0;
  made.bench.camera.exposure_s = 0;
  const double length_s = 1.5 * feeds + 2;
  for (int i = 0; i < static_cast<int>(length_s * kRate_hz); ++i) {
    FrameSightings frame;
    frame.index = i;
    frame.t_s = i / kRate_hz;
    frame.news.settled_until_s = frame.t_s - kBehind_s;
    made.frames.push_back(std::move(frame));
  }
  for (int k = 0; k < feeds; ++k) {
    RandomEngine random = derived_engine(seed, "live bench", k);
    std::normal_distribution<double> normal(0, 1);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] = 1.0 + 1.5 * k;
    p[kBounceX] += 0.03 * normal(random);
    p[kBounceY] += 0.02 * normal(random);
    p[kVelocityIn] += 0.03 * normal(random);
    const FlightOptions options;
    double last_s = 0;
    for (FrameSightings& frame : made.frames) {
      if (frame.t_s < p[kTimeOfBounce] - 0.4 ||
          frame.t_s > p[kTimeOfBounce] + 0.17) {
        continue;
      }
      Sighting s;
      s.t_s = frame.t_s;
      s.sigma_px = 0.2;
      s.frame = frame.index;
      s.centre_px =
          *made.bench.camera.project(flight_state(p, options, s.t_s).x_m);
      s.centre_px += 0.2 * Eigen::Vector2d(normal(random), normal(random));
      frame.sightings.push_back(s);
      last_s = s.t_s;
    }
    made.last_seen_s.push_back(last_s);
    made.bounce_s.push_back(p[kTimeOfBounce]);
    made.flights.push_back(p);
  }
  return made;
}

/// The same over a glossy table, which shows each ball's image as well.
inline BenchFrames glossy_frames(int feeds, std::uint64_t seed = 1) {
  constexpr double kTouching_px = 14;
  BenchFrames made = bench_frames(feeds, seed);
  std::size_t k = 0;
  RandomEngine random = derived_engine(seed, "live images");
  std::normal_distribution<double> normal(0, 0.2);
  for (FrameSightings& frame : made.frames) {
    while (k + 1 < made.last_seen_s.size() && frame.t_s > made.last_seen_s[k]) {
      ++k;
    }
    const std::vector<Sighting> balls = frame.sightings;
    for (Sighting image :
         images_of(made.flights[k], made.bench.camera, balls)) {
      image.centre_px += Eigen::Vector2d(normal(random), normal(random));
      const double apart_px = (image.centre_px - balls[0].centre_px).norm();
      if (apart_px > kTouching_px) frame.sightings.push_back(image);
    }
  }
  return made;
}

/// What a file of the same frames gives.
inline Measurement measured_as_file(const BenchFrames& made) {
  FrameMeasurer measurer(made.bench, made.profile, {});
  for (const FrameSightings& frame : made.frames) measurer.add(frame);
  WatchNews last;
  last.settled_until_s = std::numeric_limits<double>::infinity();
  measurer.end(last);
  const CameraWatch none(made.bench.camera, made.profile.surface, {});
  return measurer.finish(none, 1);
}

}  // namespace evenfeed
