// SPDX-License-Identifier: MIT
// Feeds of one launcher as one camera sees them, with what they truly share.
#pragma once

#include "flight/feed_finder.h"
#include "geometry/bench.h"

#include <vector>

#include "flight_bench.h"

namespace evenfeed {

// One launcher, one kind of ball, one table: unlike the profile's middle, but
// within what it allows. Invented.
struct Launcher {
  double drag = 0.46;
  double lift_in = -0.15;
  double lift_out = -0.20;
  double restitution = 0.95;
  double kick = 0.78;  // about what a ball without spin has
  double spread = 1;   // times the usual scatter from feed to feed
  double balls = 1;    // the same of drag and restitution alone
};

// A ball leaves the mouth at (-1.2, 0, 0.30) m and flies until it touches.
inline FlightVector thrown(const Launcher& launcher, RandomEngine& random) {
  std::normal_distribution<double> normal(0, launcher.spread);
  const FlightOptions options;
  FlightVector p = FlightVector::Zero();
  p[kDrag] = launcher.drag + 0.010 * launcher.balls * normal(random);
  p[kLiftIn] = launcher.lift_in + 0.02 * normal(random);
  p[kLiftOut] = launcher.lift_out + 0.02 * normal(random);
  p[kSideLiftIn] = 0.01 * normal(random);
  BallState<double> state;
  state.x_m = {-1.2, 0, 0.30 + 0.001 * normal(random)};
  state.v_mps = {5.2 + 0.03 * normal(random),
                 0.05 * normal(random),
                 0.9 + 0.03 * normal(random)};
  const auto air = forces_of_arc(p, Arc::kIn, options.air_per_m());
  double t = 0.6;
  for (int i = 0; i < 50; ++i) {  // Newton: z = r
    const auto there = fly<double>(state, t, air);
    t -= (there.x_m.z() - options.ball.radius_m) / there.v_mps.z();
  }
  const auto bounce = fly<double>(state, t, air);
  p[kTimeOfBounce] = 1.0;
  p.segment<2>(kBounceX) = bounce.x_m.head<2>();
  p.segment<3>(kVelocityIn) = bounce.v_mps;
  p.segment<2>(kVelocityOut) = launcher.kick * bounce.v_mps.head<2>();
  p[kVelocityOut + 2] =
      -bounce.v_mps.z() *
      (launcher.restitution + 0.010 * launcher.balls * normal(random));
  return p;
}

struct Session {
  std::vector<FlightVector> truth;
  std::vector<FoundFeed> found;
};

inline Session filmed(const Launcher& launcher,
                      const CameraModel& camera,
                      int feeds,
                      double fps,
                      double noise_px,
                      const char* name,
                      int run) {
  Session session;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(1, name, 1000 * run + i);
    FlightVector p = thrown(launcher, random);
    p[kTimeOfBounce] += 2 * i;
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, fps, noise_px, random);
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    session.truth.push_back(p);
    session.found.push_back(std::move(feed));
  }
  return session;
}

// All that is known of this one is right.
inline Bench known_bench(const CameraModel& camera) {
  Bench bench;
  bench.camera = camera;
  bench.camera.readout_s = 0;
  return bench;
}

}  // namespace evenfeed
