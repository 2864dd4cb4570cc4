// SPDX-License-Identifier: MIT
#include "flight/ballistics.h"

#include "flight/flight_options.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("without air a ball flies a parabola") {
  const BallState<double> start{{0, 0, 0.3}, {5, 0.2, 1}};
  const double t = 0.37;
  const auto end = fly<double>(start, t, {});
  CHECK(end.x_m.x() == doctest::Approx(5 * t).epsilon(1e-12));
  CHECK(end.x_m.z() ==
        doctest::Approx(0.3 + t - kGravity_mps2 * t * t / 2).epsilon(1e-12));
}

TEST_CASE("forwards and back again ends where it began") {
  const AirForces<double> air{0.14, 0.05, -0.02};
  const BallState<double> start{{0, 0, 0.3}, {9, 0.5, 2}};
  const auto there = fly<double>(start, 0.4, air);
  const auto back = fly<double>(there, -0.4, air);
  CHECK((back.x_m - start.x_m).norm() < 1e-7);
  CHECK((back.v_mps - start.v_mps).norm() < 1e-6);
}

TEST_CASE("a step of 10 ms is exact to a micrometre at 15 m/s") {
  const AirForces<double> air{0.14, 0.06, 0.03};
  const BallState<double> start{{0, 0, 0.3}, {14.5, 1, 3.7}};
  BallState<double> fine = start;
  for (int i = 0; i < 4000; ++i) fine = runge_kutta_step(fine, 1e-4, air);
  CHECK((fly<double>(start, 0.4, air).x_m - fine.x_m).norm() < 1e-6);
}

// Design values of drag for a 40 mm, 2.7 g ball with Cd 0.5: 3.5 m/s2 at
// 5 m/s and 31 m/s2 at 15 m/s (derived from rho A Cd v^2 / 2m with the ITTF
// ball of Laws 2.3 and air at 20 degrees C).
TEST_CASE("drag and lift have the size that the ball's figures give") {
  FlightOptions options;
  options.ball.radius_m = 0.020;
  const double per_m = options.air_per_m();
  CHECK(per_m == doctest::Approx(0.279).epsilon(0.002));
  const AirForces<double> drag{0.5 * per_m, 0, 0};
  const auto a5 = acceleration_mps2<double>({5, 0, 0}, drag);
  CHECK(-a5.x() == doctest::Approx(3.5).epsilon(0.01));
  const auto a15 = acceleration_mps2<double>({15, 0, 0}, drag);
  CHECK(-a15.x() == doctest::Approx(31).epsilon(0.02));
  const AirForces<double> lift{0, 0.2 * per_m, 0};
  const auto up = acceleration_mps2<double>({5, 0, 0}, lift);
  CHECK(up.z() + kGravity_mps2 == doctest::Approx(1.4).epsilon(0.01));
  const AirForces<double> side{0, 0, 0.1 * per_m};
  CHECK(acceleration_mps2<double>({5, 0, 0}, side).y() > 0);
}
