// SPDX-License-Identifier: MIT
#include "flight/ballistics.h"

#include "flight/flight_options.h"

#include <ceres/jet.h>
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

// The naive second computation: every step taken with all derivatives.
TEST_CASE("derivatives of a flight are those of its steps") {
  using Jet = ceres::Jet<double, 14>;
  BallState<Jet> start;
  AirForces<Jet> air{Jet(0.14, 6), Jet(0.06, 7), Jet(-0.03, 8)};
  const double x[] = {0.1, -0.2, 0.3};
  const double v[] = {7, 0.4, -1.5};
  for (int i = 0; i < 3; ++i) {
    start.x_m[i] = Jet(x[i], i);
    start.v_mps[i] = Jet(v[i], 3 + i);
  }
  // An unknown may come in through several doors.
  start.v_mps[0].v[9] = 0.7;
  air.lift_per_m.v[9] = -0.2;
  for (const double dt_s : {0.021, -0.034, 0.004}) {
    Jet dt(dt_s, 10);
    dt.v[9] = 0.3;
    const BallState<Jet> quick = fly<Jet>(start, dt, air);
    BallState<Jet> naive = start;
    const int steps = 100;
    for (int i = 0; i < steps; ++i) {
      naive = runge_kutta_step<Jet>(naive, dt / Jet(steps), air);
    }
    for (int i = 0; i < 3; ++i) {
      CHECK(quick.x_m[i].a == doctest::Approx(naive.x_m[i].a).epsilon(1e-7));
      CHECK((quick.x_m[i].v - naive.x_m[i].v).norm() < 1e-6);
      CHECK((quick.v_mps[i].v - naive.v_mps[i].v).norm() < 1e-4);
    }
    CHECK(quick.x_m[0].v[0] == 1);
    CHECK(quick.x_m[0].v[10] == doctest::Approx(quick.v_mps[0].a));
  }
}
