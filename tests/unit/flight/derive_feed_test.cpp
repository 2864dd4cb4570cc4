// SPDX-License-Identifier: MIT
#include "flight/derive_feed.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// No air: everything has a closed form.
struct Airless {
  FlightOptions options;
  FlightFit fit;

  Airless() {
    options.drag.mean = 0;
    fit.parameters = usual_flight();
    for (int k = kLiftIn; k < kFlightParameters; ++k) fit.parameters[k] = 0;
    fit.covariance = FlightCovariance::Identity() * 1e-8;
    fit.before = fit.after = 10;
    fit.status = FitStatus::kOk;
  }
};

}  // namespace

TEST_CASE("characteristics follow from the velocities") {
  const Airless bench;
  const Feed feed = derive_feed(bench.fit, bench.options, {});
  using enum Characteristic;
  CHECK(feed[kX].value == doctest::Approx(700));
  CHECK(feed[kX].sigma == doctest::Approx(0.1).epsilon(1e-6));
  CHECK(feed[kSpeedIn].value ==
        doctest::Approx(std::sqrt(4.5 * 4.5 + 0.01 + 2.3 * 2.3)));
  CHECK(feed[kHeading].value == doctest::Approx(1.273).epsilon(1e-3));
  CHECK(feed[kDescent].value == doctest::Approx(27.065).epsilon(1e-3));
  CHECK(feed[kKick].value == doctest::Approx(0.8).epsilon(1e-9));
  CHECK(feed[kTurn].value == doctest::Approx(0).scale(1));
  CHECK(feed.status == FeedStatus::kMeasured);
  // Not asked for, so not known.
  CHECK(std::isnan(feed[kFlightTime].value));
  CHECK(std::isnan(feed[kContactZ].value));
  CHECK(std::isnan(feed.t_launch_s));
}

TEST_CASE("launch and contact lie where the parabola puts them") {
  const Airless bench;
  FeedEnds ends;
  ends.launch_x_m = -1.55;
  ends.sample_x_m = 1.37;
  const Feed feed = derive_feed(bench.fit, bench.options, ends);
  using enum Characteristic;
  CHECK(feed[kFlightTime].value == doctest::Approx(2.25 / 4.5));
  CHECK(feed.t_launch_s == doctest::Approx(0.5));
  const double r = bench.options.ball.radius_m;
  const double dt = (1.37 - r - 0.70) / 3.6;
  CHECK(feed[kContactTime].value == doctest::Approx(1 + dt));
  CHECK(feed[kContactZ].value ==
        doctest::Approx(1e3 * (r + 2.1 * dt - 4.903325 * dt * dt)));
  CHECK(feed[kContactY].value == doctest::Approx(50 + 80 * dt));
  CHECK(feed[kPathLength].value > 2.9e3);
  CHECK(feed[kPathLength].value < 3.2e3);
}

// Invented numbers: at 60 frames per second a ball that covers 2.40 m in 36
// frames takes 0.6 s, and one that does it in 24 frames leaves 10 cm between
// sightings.
TEST_CASE("frames counted by hand give the same time and spacing") {
  Airless bench;
  bench.fit.parameters[kBounceX] = 1.15;
  bench.fit.parameters.segment<3>(kVelocityIn) =
      Eigen::Vector3d(2.40 / (36 / 60.0), 0, -3);
  FeedEnds ends;
  ends.launch_x_m = 1.15 - 2.40;
  Feed feed = derive_feed(bench.fit, bench.options, ends);
  CHECK(feed[Characteristic::kFlightTime].value ==
        doctest::Approx(0.6).epsilon(1e-9));
  bench.fit.parameters[kVelocityIn] = 2.40 / (24 / 60.0);
  feed = derive_feed(bench.fit, bench.options, ends);
  const double spacing_cm =
      240 / (feed[Characteristic::kFlightTime].value * 60);
  CHECK(spacing_cm == doctest::Approx(10).epsilon(1e-9));
}

TEST_CASE("a ball that lands again before the sample has no contact") {
  Airless bench;
  bench.fit.parameters[kBounceX] = 0.1;
  bench.fit.parameters[kVelocityOut + 2] = 0.8;
  FeedEnds ends;
  ends.sample_x_m = 1.37;
  const Feed feed = derive_feed(bench.fit, bench.options, ends);
  CHECK(std::isnan(feed[Characteristic::kContactZ].value));
}
