// SPDX-License-Identifier: MIT
#include "simulate/ball_motion.h"

#include "base/units.h"

#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

MovingBall flown(const BallPhysics& ball, MovingBall state, double time_s) {
  const int steps = static_cast<int>(std::lround(time_s / 1e-4));
  for (int i = 0; i < steps; ++i) state = fly(ball, state, 1e-4);
  return state;
}

double drag_factor(const BallPhysics& ball) {
  return 0.5 * ball.air_density_kgpm3 * std::numbers::pi * ball.radius_m *
         ball.radius_m / ball.mass_kg;
}

}  // namespace

TEST_CASE("without air the way is the parabola and energy stays") {
  BallPhysics ball;
  ball.air_density_kgpm3 = 0;
  MovingBall start;
  start.x_m = {-1.5, 0.1, 0.3};
  start.v_mps = {5, -0.2, 1.5};
  start.spin_radps = {10, 200, -30};
  const double t = 0.5;
  const MovingBall end = flown(ball, start, t);
  const Eigen::Vector3d g{0, 0, -kGravity_mps2};
  CHECK((end.x_m - (start.x_m + t * start.v_mps + t * t / 2 * g)).norm() <
        1e-12);
  const auto energy = [](const MovingBall& s) {
    return 0.5 * s.v_mps.squaredNorm() + kGravity_mps2 * s.x_m.z();
  };
  CHECK(energy(end) == doctest::Approx(energy(start)).epsilon(1e-12));
}

TEST_CASE("a fall with drag follows v_t tanh(g t / v_t)") {
  const BallPhysics ball;
  MovingBall start;
  start.x_m.z() = 10;
  const double terminal =
      std::sqrt(kGravity_mps2 / (drag_factor(ball) * ball.drag_coefficient));
  for (const double t : {0.2, 0.6, 1.5}) {
    const MovingBall end = flown(ball, start, t);
    CHECK(-end.v_mps.z() ==
          doctest::Approx(terminal * std::tanh(kGravity_mps2 * t / terminal))
              .epsilon(1e-9));
  }
}

TEST_CASE("topspin presses down, sidespin turns left, both by CL") {
  BallPhysics ball;
  const Eigen::Vector3d v{6, 0, 0};
  const double spin = 250;
  const double parameter = ball.radius_m * spin / 6;
  const double lift = drag_factor(ball) * 36 * ball.lift_limit *
                      (1 - std::exp(-parameter / ball.lift_scale));
  const Eigen::Vector3d none = flight_acceleration(ball, v, {0, 0, 0});
  const auto extra = [&](const Eigen::Vector3d& w) {
    return Eigen::Vector3d(flight_acceleration(ball, v, w) - none);
  };
  CHECK((extra({0, spin, 0}) - Eigen::Vector3d(0, 0, -lift)).norm() < 1e-12);
  CHECK((extra({0, 0, spin}) - Eigen::Vector3d(0, lift, 0)).norm() < 1e-12);
  CHECK(extra({spin, 0, 0}).norm() < 1e-12);
}

TEST_CASE("halving the step leaves the landing where it is") {
  const BallPhysics ball;
  MovingBall coarse;
  coarse.v_mps = {7, 0.2, 2};
  coarse.spin_radps = {20, 180, 40};
  MovingBall fine = coarse;
  for (int i = 0; i < 5000; ++i) coarse = fly(ball, coarse, 1e-4);
  for (int i = 0; i < 10000; ++i) fine = fly(ball, fine, 5e-5);
  CHECK((coarse.x_m - fine.x_m).norm() < 1e-11);
}
