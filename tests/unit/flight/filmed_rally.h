// SPDX-License-Identifier: MIT
// A feed that a sample sends back, as a camera at the side sees it.
#pragma once

#include "flight/derive_feed.h"
#include "flight/feed_finder.h"

#include <random>

#include "flight_bench.h"

namespace evenfeed {

/// A sample 0.6 m behind the bounce sends the usual feed back at 4 m/s.
struct Rally {
  FlightVector feed = usual_flight();
  FlightVector back = FlightVector::Zero();
  double t_contact_s = 0;
};

inline Rally rally(const Eigen::Vector3d& v_back_mps = {-3.3, 0.1, 2.3},
                   double lift = 0.1,
                   double side_lift = -0.02,
                   double drag = 0.5,
                   double centre_x_m = 1.30,
                   const FlightVector& feed = usual_flight()) {
  Rally one;
  one.feed = feed;
  one.feed[kDrag] = drag;
  const FlightOptions options;
  one.t_contact_s = time_at_x_s(one.feed, options, Arc::kOut, centre_x_m);
  const auto arrival =
      flight_state(one.feed, options, Arc::kOut, one.t_contact_s);
  one.back[kLiftIn] = lift;
  one.back[kSideLiftIn] = side_lift;
  one.back[kDrag] = one.feed[kDrag];
  BallState<double> state{arrival.x_m, v_back_mps};
  const auto air = forces_of_arc(one.back, Arc::kIn, options.air_per_m());
  double t_s = one.t_contact_s;
  while (state.x_m.z() > options.ball.radius_m) {
    state = fly<double>(state, 1e-5, air);
    t_s += 1e-5;
  }
  one.back[kTimeOfBounce] = t_s;
  one.back.segment<2>(kBounceX) = state.x_m.head<2>();
  one.back.segment<3>(kVelocityIn) = state.v_mps;
  one.back.segment<3>(kVelocityOut) =
      state.v_mps.cwiseProduct(Eigen::Vector3d(0.8, 0.8, -0.92));
  return one;
}

struct Filmed {
  FoundFeed found;
  CameraModel camera;
};

/// The feed and its return at 60 pictures a second until `after_s` from the
/// contact.
inline Filmed film(const Rally& rally,
                   double noise_px,
                   RandomEngine& random,
                   double after_s = 1.0,
                   double side_deg = 30) {
  Filmed filmed;
  filmed.camera = camera_at(side_deg);
  std::normal_distribution<double> noise(0, 1);
  const FlightOptions options;
  const auto see = [&](const FlightVector& p, double t_s) {
    Sighting s;
    s.t_s = t_s;
    s.sigma_px = noise_px > 0 ? noise_px : 0.1;
    s.centre_px = *filmed.camera.project(flight_state(p, options, t_s).x_m) +
                  noise_px * Eigen::Vector2d(noise(random), noise(random));
    return s;
  };
  const double phase_s =
      std::uniform_real_distribution<double>(0, 1 / 60.0)(random);
  Track back;
  for (double t_s = 0.6 + phase_s; t_s < rally.t_contact_s + after_s;
       t_s += 1 / 60.0) {
    const bool feed = t_s < rally.t_contact_s;
    (feed ? filmed.found.sightings : back.sightings)
        .push_back(see(feed ? rally.feed : rally.back, t_s));
  }
  filmed.found.fit = fit_flight(filmed.found.sightings, filmed.camera, options);
  if (!back.sightings.empty()) filmed.found.returned = {back};
  return filmed;
}

}  // namespace evenfeed
