// SPDX-License-Identifier: MIT
// The simulation's flight and the fit's are written apart; where both can
// describe the same air they must give the same way.
#include "flight/ballistics.h"
#include "simulate/ball_motion.h"

#include <cmath>
#include <numbers>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("with a constant lift coefficient both models fly the same way") {
  int cases = 0;
  for (const double topspin : {-150.0, 0.0, 200.0}) {
    for (const double speed : {4.0, 8.0, 15.0}) {
      BallPhysics ball;
      ball.lift_scale = 1e-4;  // any spin at all gives the full lift
      MovingBall start;
      start.x_m = {-1, 0, 0.3};
      start.v_mps = {speed, 0, 0.1 * speed};
      start.spin_radps = {0, topspin, 0};
      const double k = 0.5 * ball.air_density_kgpm3 * std::numbers::pi *
                       ball.radius_m * ball.radius_m / ball.mass_kg;
      AirForces<double> air;
      air.drag_per_m = k * ball.drag_coefficient;
      if (topspin != 0) {
        air.lift_per_m = std::copysign(k * ball.lift_limit, -topspin);
      }
      MovingBall simulated = start;
      for (int i = 0; i < 3000; ++i) simulated = fly(ball, simulated, 1e-4);
      const BallState<double> modelled =
          fly(BallState<double>{start.x_m, start.v_mps}, 0.3, air);
      CAPTURE(topspin);
      CAPTURE(speed);
      CHECK((simulated.x_m - modelled.x_m).norm() < 1e-6);
      CHECK((simulated.v_mps - modelled.v_mps).norm() < 1e-5);
      ++cases;
    }
  }
  CHECK(cases == 9);
}

TEST_CASE("sidespin turns level flight to the same side by the same amount") {
  BallPhysics ball;
  ball.lift_scale = 1e-4;
  MovingBall start;
  start.v_mps = {8, 0, 0};
  start.spin_radps = {0, 0, 80};
  const Eigen::Vector3d simulated =
      flight_acceleration(ball, start.v_mps, start.spin_radps);
  AirForces<double> air;
  const double k = 0.5 * ball.air_density_kgpm3 * std::numbers::pi *
                   ball.radius_m * ball.radius_m / ball.mass_kg;
  air.drag_per_m = k * ball.drag_coefficient;
  air.side_per_m = k * ball.lift_limit;
  const Eigen::Vector3d modelled = acceleration_mps2<double>(start.v_mps, air);
  CHECK(simulated.y() > 1);
  CHECK((simulated - modelled).norm() < 1e-6);
}
