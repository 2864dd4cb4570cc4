// SPDX-License-Identifier: MIT
#include "simulate/contact.h"

#include "base/random.h"
#include "base/units.h"
#include "simulate/ball_path.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kRadius_m = 0.02015;

MovingBall arriving(double speed_mps,
                    double descent_rad,
                    double topspin_radps) {
  MovingBall state;
  state.v_mps = {
      speed_mps * std::cos(descent_rad), 0, -speed_mps * std::sin(descent_rad)};
  state.spin_radps = {0, topspin_radps, 0};
  return state;
}

// Height to which a ball comes back that falls from `drop_m` (both measured
// to its lowest point).
double rebound_m(double drop_m, double restitution, double air_kgpm3) {
  World world;
  world.surface.length_m = 2.74;
  world.surface.width_m = 1.525;
  world.surface.height_above_floor_m = 0.76;
  world.ball.restitution = restitution;
  world.ball.air_density_kgpm3 = air_kgpm3;
  MovingBall start;
  start.x_m = {0.5, 0, drop_m + world.ball.radius_m};
  const BallPath path = trace_ball(world, start, 0, 0.6);
  REQUIRE(!path.events().empty());
  double top = 0;
  for (double t = path.events()[0].t_s; t < 0.6; t += 1e-4) {
    if (const auto state = path.at(t)) top = std::max(top, state->x_m.z());
    if (path.events().size() > 1 && t > path.events()[1].t_s) break;
  }
  return top - world.ball.radius_m;
}

}  // namespace

// Laws of Table Tennis 2.1.3: about 23 cm from 30 cm. Restitution worked out
// from the energy of the fall in a vacuum, e = sqrt(h1 / h0), and with drag
// (Cd 0.5, 1.2 kg/m3): to 3 decimals, so heights agree to 1 mm.
TEST_CASE("drop tests give the known restitution, with and without drag") {
  struct Drop {
    double from_mm, to_mm, vacuum, air;
  };
  int cases = 0;
  for (const Drop& drop : {Drop{300, 230, 0.876, 0.909},
                           Drop{305, 240, 0.887, 0.921},
                           Drop{305, 260, 0.923, 0.960}}) {
    CAPTURE(drop.to_mm);
    const double from_m = m_from_mm(drop.from_mm);
    CHECK(mm_from_m(rebound_m(from_m, drop.vacuum, 0)) ==
          doctest::Approx(drop.to_mm).epsilon(1.0 / drop.to_mm));
    CHECK(mm_from_m(rebound_m(from_m, drop.air, 1.2)) ==
          doctest::Approx(drop.to_mm).epsilon(1.0 / drop.to_mm));
    // The vacuum's figure is visibly wrong in air.
    CHECK(mm_from_m(rebound_m(from_m, drop.vacuum, 1.2)) < drop.to_mm - 5);
    ++cases;
  }
  CHECK(cases == 3);
}

TEST_CASE("a sliding ball without spin keeps 1 - mu (1 + e) tan(descent)") {
  const double descent = rad_from_deg(20);
  const MovingBall after =
      bounce(arriving(5, descent, 0), {0, 0, 1}, {0.92, 0.2}, kRadius_m);
  const double kick = after.v_mps.x() / (5 * std::cos(descent));
  CHECK(kick == doctest::Approx(1 - 0.2 * 1.92 * std::tan(descent)));
  CHECK(kick == doctest::Approx(0.86).epsilon(0.005));
}

TEST_CASE("topspin turns the kick round at r w = v") {
  const double descent = rad_from_deg(20);
  const auto change = [&](double spin) {
    const MovingBall before = arriving(5, descent, spin);
    return bounce(before, {0, 0, 1}, {0.9, 0.2}, kRadius_m).v_mps.x() -
           before.v_mps.x();
  };
  CHECK(change(0) == doctest::Approx(-0.650).epsilon(0.001));
  CHECK(std::abs(change(5 * std::cos(descent) / kRadius_m)) < 1e-12);
  CHECK(std::abs(change(235)) < 0.02);
  // Grips: 2/5 of the slip of 300 * 0.02015 - 4.698 m/s.
  CHECK(change(300) == doctest::Approx(0.539).epsilon(0.002));
}

TEST_CASE("a gripping ball leaves rolling") {
  const MovingBall after = bounce(
      arriving(4, rad_from_deg(60), 30), {0, 0, 1}, {0.9, 0.5}, kRadius_m);
  CHECK(after.v_mps.x() == doctest::Approx(kRadius_m * after.spin_radps.y()));
}

TEST_CASE("the law does not care how the surface is turned") {
  RandomEngine engine = derived_engine(1, "contact turn");
  std::uniform_real_distribution<double> part(-1, 1);
  for (int i = 0; i < 50; ++i) {
    const Eigen::Quaterniond turn =
        Eigen::Quaterniond(
            part(engine), part(engine), part(engine), part(engine))
            .normalized();
    MovingBall state;
    state.v_mps = {3 * part(engine), part(engine), -2 - part(engine)};
    state.spin_radps = {200 * part(engine), 200 * part(engine), 50};
    MovingBall turned = state;
    turned.v_mps = turn * state.v_mps;
    turned.spin_radps = turn * state.spin_radps;
    const ContactLaw law{0.88, 0.25};
    const MovingBall flat = bounce(state, {0, 0, 1}, law, kRadius_m);
    const MovingBall tilted =
        bounce(turned, turn * Eigen::Vector3d::UnitZ(), law, kRadius_m);
    CHECK((turn * flat.v_mps - tilted.v_mps).norm() < 1e-12);
    CHECK((turn * flat.spin_radps - tilted.spin_radps).norm() < 1e-9);
    const auto energy = [](const MovingBall& s) {
      return 0.5 * s.v_mps.squaredNorm() +
             kRadius_m * kRadius_m / 3 * s.spin_radps.squaredNorm();
    };
    CHECK(energy(flat) < energy(state));
  }
}

TEST_CASE("a ball on its way off is left alone") {
  MovingBall state;
  state.v_mps = {1, 0, 2};
  CHECK(bounce(state, {0, 0, 1}, {}, kRadius_m).v_mps == state.v_mps);
}
