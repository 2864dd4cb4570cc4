// SPDX-License-Identifier: MIT
#include "simulate/ball_path.h"

#include <cmath>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

World bench() { return world_of(shipped_scene("short640p60")); }

MovingBall thrown(const Eigen::Vector3d& x_m, const Eigen::Vector3d& v_mps) {
  MovingBall state;
  state.x_m = x_m;
  state.v_mps = v_mps;
  return state;
}

int count(const BallPath& path, BallEventKind kind) {
  int n = 0;
  for (const BallEvent& event : path.events()) n += event.kind == kind;
  return n;
}

}  // namespace

TEST_CASE("the bounce lies on z = r and the path has its kink there") {
  const World world = bench();
  const BallPath path =
      trace_ball(world, thrown({-1.5, 0, 0.3}, {6.3, 0, 1.6}), 2.0, 1.0);
  REQUIRE(!path.events().empty());
  const BallEvent& bounce = path.events().front();
  CHECK(bounce.kind == BallEventKind::kTable);
  CHECK(std::abs(bounce.before.x_m.z() - world.ball.radius_m) < 1e-9);
  CHECK(bounce.after.v_mps.z() ==
        doctest::Approx(-world.ball.restitution * bounce.before.v_mps.z()));
  const auto before = path.at(bounce.t_s - 0.01);
  const auto after = path.at(bounce.t_s + 0.01);
  REQUIRE((before && after));
  CHECK(before->v_mps.z() < 0);
  CHECK(after->v_mps.z() > 0);
  CHECK((path.at(bounce.t_s)->x_m - bounce.before.x_m).norm() < 1e-6);
}

TEST_CASE("between its samples the path is that of the fine steps") {
  const World world = bench();
  MovingBall state = thrown({-1.5, 0, 0.3}, {6.3, 0, 1.6});
  const BallPath path = trace_ball(world, state, 0, 0.3);
  int checked = 0;
  for (int i = 1; i <= 2900; ++i) {
    state = fly(world.ball, state, 1e-4);
    const auto there = path.at(i * 1e-4);
    REQUIRE(there);
    if ((there->x_m - state.x_m).norm() < 1e-6) ++checked;
  }
  CHECK(checked == 2900);
  CHECK_FALSE(path.at(-1e-6));
  CHECK_FALSE(path.at(0.3002));
}

TEST_CASE("a ball beside the table falls to the floor") {
  const World world = bench();
  const BallPath path =
      trace_ball(world, thrown({0.5, 0.9, 0.2}, {0, 0.2, 0}), 0, 1.5);
  CHECK(count(path, BallEventKind::kTable) == 0);
  REQUIRE(count(path, BallEventKind::kFloor) > 0);
  CHECK(path.events()[0].before.x_m.z() ==
        doctest::Approx(world.ball.radius_m - 0.76));
}

TEST_CASE("the net stops a low ball and lets a high one pass") {
  const World world = bench();
  const BallPath low =
      trace_ball(world, thrown({-0.5, 0, 0.10}, {5, 0, 0.5}), 0, 0.5);
  REQUIRE(count(low, BallEventKind::kNet) == 1);
  CHECK(low.events()[0].after.v_mps.x() < 0);
  const BallPath high =
      trace_ball(world, thrown({-0.5, 0, 0.30}, {5, 0, 0.5}), 0, 0.5);
  CHECK(count(high, BallEventKind::kNet) == 0);
}

TEST_CASE("a clamped sample sends the ball back, an empty clamp does not") {
  World world = bench();
  world.sample.width_m = world.sample.height_m = 0.4;
  const MovingBall start = thrown({0.9, 0, 0.25}, {4, 0, 1.0});
  world.sample.present = true;
  const BallPath back = trace_ball(world, start, 0, 0.5);
  REQUIRE(count(back, BallEventKind::kSample) == 1);
  const BallEvent& hit = back.events()[0];
  CHECK(hit.before.x_m.x() ==
        doctest::Approx(world.sample.x_m - world.ball.radius_m));
  CHECK(hit.after.v_mps.x() ==
        doctest::Approx(-world.sample.restitution * hit.before.v_mps.x()));
  world.sample.present = false;
  const BallPath on = trace_ball(world, start, 0, 0.5);
  REQUIRE(count(on, BallEventKind::kSamplePlane) == 1);
  CHECK((on.events()[0].before.x_m - hit.before.x_m).norm() < 1e-6);
  CHECK(count(on, BallEventKind::kSample) == 0);
}

TEST_CASE("a spent ball rolls, slows, and drops off the edge") {
  const World world = bench();
  const BallPath path = trace_ball(
      world, thrown({0.9, 0, world.ball.radius_m + 1e-4}, {0.6, 0, 0}), 0, 3);
  const auto early = path.at(0.1);
  const auto late = path.at(0.6);
  REQUIRE((early && late));
  CHECK(early->x_m.z() == doctest::Approx(world.ball.radius_m).epsilon(1e-3));
  CHECK(early->v_mps.x() - late->v_mps.x() ==
        doctest::Approx(0.5 * world.ball.rolling_mps2).epsilon(0.01));
  CHECK(count(path, BallEventKind::kFloor) > 0);
}

TEST_CASE("length along the path is that of its chords") {
  World world = bench();
  world.ball.air_density_kgpm3 = 0;
  const BallPath path =
      trace_ball(world, thrown({-1.5, 0, 0.3}, {6, 0, 1.5}), 1, 0.3);
  // The parabola's own arc length, by Simpson's rule on |v(t)|.
  double sum = 0;
  const int n = 1000;
  for (int i = 0; i <= n; ++i) {
    const double vz = 1.5 - 9.80665 * 0.25 * i / n;
    sum += (i == 0 || i == n ? 1 : i % 2 ? 4 : 2) * std::hypot(6, vz);
  }
  CHECK(path.length_m(1.0, 1.25) ==
        doctest::Approx(sum * 0.25 / n / 3).epsilon(1e-6));
}
