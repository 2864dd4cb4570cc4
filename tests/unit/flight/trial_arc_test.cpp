// SPDX-License-Identifier: MIT
#include "flight/trial_arc.h"

#include "flight/ballistics.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kDragPer_m = 0.14;  // Cd 0.5
constexpr double kFastest_mps = 40;
const Eigen::Vector3d kFast(10.5, 0.4, -2.5);

// Flown there in steps, as sightings of 60 pictures a second ask for.
Passing passing_at(double t_s,
                   const Eigen::Vector3d& v_mps,
                   const Eigen::Vector3d& extra_mps2) {
  TrialArc arc(v_mps, extra_mps2, kDragPer_m, kFastest_mps);
  const double step_s = t_s < 0 ? -1 / 60.0 : 1 / 60.0;
  for (double t = step_s; std::abs(t) < std::abs(t_s); t += step_s) {
    arc.fly_to(t);
  }
  return arc.fly_to(t_s);
}

}  // namespace

// Against the flight that the fit flies (Runge-Kutta of fourth order).
TEST_CASE("a trial arc passes where the ball flies, long before the bounce") {
  const Eigen::Vector3d none = Eigen::Vector3d::Zero();
  for (const double t_s : {-0.35, -0.1, -0.01, 0.0, 0.01, 0.2}) {
    CAPTURE(t_s);
    const auto truth =
        fly<double>({Eigen::Vector3d::Zero(), kFast}, t_s, {kDragPer_m, 0, 0});
    const Passing passing = passing_at(t_s, kFast, none);
    CHECK((passing.of(kFast, none) - truth.x_m).norm() < 3e-3);
  }
}

TEST_CASE("lift goes with the square of the speed on a trial arc") {
  // Lift coefficient 0.25 at the bounce, up.
  const double lift_per_m = 0.25 * 0.28;
  const auto bent = [&](double t_s) {
    const AirForces<double> air{kDragPer_m, lift_per_m, 0};
    return fly<double>({Eigen::Vector3d::Zero(), kFast}, t_s, air).x_m;
  };
  const Eigen::Vector3d extra =
      acceleration_mps2<double>(kFast, {0, lift_per_m, 0}) +
      Eigen::Vector3d(0, 0, kGravity_mps2);
  const double t_s = -0.3;
  const Passing passing = passing_at(t_s, kFast, extra);
  // The force turns with the ball, which a trial leaves out.
  CHECK((passing.of(kFast, extra) - bent(t_s)).norm() < 0.02);
  // A constant force is far off by then.
  const Eigen::Vector3d straight =
      passing_at(t_s, kFast, Eigen::Vector3d::Zero()).rest;
  const Eigen::Vector3d constant =
      passing.by_velocity * kFast + straight + t_s * t_s / 2 * extra;
  CHECK((constant - bent(t_s)).norm() > 0.05);
}

TEST_CASE("a trial arc says how a change of it moves it") {
  const Eigen::Vector3d extra(0.5, -0.2, 1.5);
  for (const double t_s : {-0.3, -0.1, 0.2}) {
    CAPTURE(t_s);
    const Passing passing = passing_at(t_s, kFast, extra);
    const Eigen::Vector3d here = passing.of(kFast, extra);
    for (int k = 0; k < 3; ++k) {
      CAPTURE(k);
      const Eigen::Vector3d dv = 0.2 * Eigen::Vector3d::Unit(k);
      const Eigen::Vector3d moved =
          passing_at(t_s, kFast + dv, extra).of(kFast + dv, extra) - here;
      CHECK((moved - passing.by_velocity * dv).norm() <
            0.1 * moved.norm() + 1e-4);
      const Eigen::Vector3d da = 0.5 * Eigen::Vector3d::Unit(k);
      const Eigen::Vector3d bent =
          passing_at(t_s, kFast, extra + da).of(kFast, extra + da) - here;
      // A force along the flight changes its drag too, which is left out.
      CHECK((bent - passing.by_extra * da).norm() < 0.3 * bent.norm());
    }
  }
}

TEST_CASE("a wild trial does not blow up") {
  const Eigen::Vector3d v(-600, 200, 900);
  const Eigen::Vector3d extra(300, -500, 80);
  for (const double t_s : {-1.5, -0.3, 0.3, 3.0}) {
    const Passing passing = passing_at(t_s, v, extra);
    CHECK(passing.rest.allFinite());
    CHECK(passing.by_velocity.allFinite());
    CHECK(passing.rest.norm() < 1e3);
  }
}
