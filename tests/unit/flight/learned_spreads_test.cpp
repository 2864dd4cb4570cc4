// SPDX-License-Identifier: MIT
#include "flight/learned_spreads.h"

#include "base/error.h"
#include "flight/joint_adjustment.h"

#include <cmath>

#include "thrown_session.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Runs EM to its end on feeds whose drag is known exactly: their squared
// distances from the mean are what they are.
double learned_drag_sd(double sum_of_squares, std::size_t feeds) {
  FlightOptions flight;
  flight.drag_between = 0.010;
  const LearnedSpreads spreads(flight, LeastSpreads{});
  CHECK(flight.drag.sd == 0.010);
  for (int round = 0; round < 100; ++round) {
    SquaredResiduals sums = SquaredResiduals::Zero();
    sums[kSessionDrag] = sum_of_squares / (flight.drag.sd * flight.drag.sd);
    if (spreads.learn(sums, feeds, flight)) break;
  }
  return flight.drag.sd;
}

}  // namespace

// By hand: ten imagined feeds of sd 0.010, and what was seen, pooled.
TEST_CASE("what is known exactly is pooled with ten imagined feeds") {
  CHECK(learned_drag_sd(0, 0) == doctest::Approx(0.010).epsilon(1e-9));
  CHECK(learned_drag_sd(30 * 4e-4, 30) ==
        doctest::Approx(std::sqrt((10 * 1e-4 + 30 * 4e-4) / 40)).epsilon(1e-9));
  CHECK(learned_drag_sd(0, 1000) == doctest::Approx(0.002).epsilon(1e-9));
}

TEST_CASE("a launch height that is not known is not learned") {
  FlightOptions flight;
  const LearnedSpreads spreads(flight, LeastSpreads{});
  CHECK_FALSE(flight.launch_height.has_value());
  SquaredResiduals sums = SquaredResiduals::Constant(100);
  CHECK_FALSE(spreads.learn(sums, 20, flight));
  CHECK_FALSE(flight.launch_height.has_value());
}

TEST_CASE("a least spread of nothing is refused") {
  CHECK_THROWS_AS(LeastSpreads{.lift = 0}.check(), UsageError);
  CHECK_THROWS_AS(LeastSpreads{.kick = -1}.check(), UsageError);
  CHECK_THROWS_AS(LeastSpreads{.launch_m = NAN}.check(), UsageError);
}

TEST_CASE("few feeds seen badly: balls differ as the profile says") {
  const CameraModel camera = camera_at(30);
  const Bench bench = known_bench(camera);
  const Session session = filmed({}, camera, 6, 60, 0.4, "joint/between", 0);
  FlightOptions options;
  options.drag_between = 0.03;
  options.restitution_between = 0.02;
  const JointAdjustment joint =
      adjust_jointly(session.found, bench, options, {});
  REQUIRE(joint.done);
  CHECK(joint.spread[kSessionDrag] == doctest::Approx(0.03).epsilon(0.005));
  CHECK(joint.spread[kSessionRestitution] ==
        doctest::Approx(0.02).epsilon(0.005));
}

TEST_CASE("feeds seen well tell how far balls differ, whatever was stated") {
  const CameraModel camera = camera_at(45);
  const Bench bench = known_bench(camera);
  const auto spreads = [&](double balls) {
    Launcher launcher;
    launcher.balls = balls;
    const Session session =
        filmed(launcher, camera, 30, 240, 0.03, "joint/balls", int(balls));
    const JointAdjustment joint =
        adjust_jointly(session.found, bench, FlightOptions{}, {});
    REQUIRE(joint.done);
    return joint.spread;
  };
  const auto alike = spreads(0);
  CHECK(alike[kSessionDrag] < 0.0055);
  CHECK(alike[kSessionRestitution] < 0.0065);
  const auto mixed = spreads(3);
  CHECK(mixed[kSessionDrag] > 0.02);
  CHECK(mixed[kSessionRestitution] > 0.013);
}

TEST_CASE("too few feeds keep what the profile believes") {
  const CameraModel camera = camera_at(30);
  Bench bench;
  bench.camera = camera;
  CHECK_FALSE(adjust_jointly({}, bench, FlightOptions{}, {}).done);
  const Session session = filmed({}, camera, 2, 60, 0.2, "joint/few", 0);
  const FlightOptions options;
  const JointAdjustment joint =
      adjust_jointly(session.found, bench, options, {});
  REQUIRE(joint.done);
  CHECK(joint.spread[kSessionLiftIn] == options.lift_in.sd);
  CHECK(joint.spread[kSessionDrag] == options.drag.sd);
}
