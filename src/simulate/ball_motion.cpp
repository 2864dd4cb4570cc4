// SPDX-License-Identifier: MIT
#include "simulate/ball_motion.h"

#include "base/units.h"

#include <cmath>
#include <numbers>

#include <Eigen/Geometry>

namespace evenfeed {

Eigen::Vector3d flight_acceleration(const BallPhysics& ball,
                                    const Eigen::Vector3d& v_mps,
                                    const Eigen::Vector3d& spin_radps) {
  Eigen::Vector3d a{0, 0, -kGravity_mps2};
  const double speed = v_mps.norm();
  if (speed <= 0) return a;
  const double k = 0.5 * ball.air_density_kgpm3 * std::numbers::pi *
                   ball.radius_m * ball.radius_m / ball.mass_kg;
  a -= k * ball.drag_coefficient * speed * v_mps;
  const double spin = spin_radps.norm();
  if (spin > 0) {
    const double parameter = ball.radius_m * spin / speed;
    const double lift =
        ball.lift_limit * (1 - std::exp(-parameter / ball.lift_scale));
    a += k * lift * speed * (spin_radps / spin).cross(v_mps);
  }
  return a;
}

MovingBall fly(const BallPhysics& ball, const MovingBall& s, double dt_s) {
  const auto accelerate = [&](const Eigen::Vector3d& v) {
    return flight_acceleration(ball, v, s.spin_radps);
  };
  const Eigen::Vector3d v1 = s.v_mps;
  const Eigen::Vector3d a1 = accelerate(v1);
  const Eigen::Vector3d v2 = s.v_mps + dt_s / 2 * a1;
  const Eigen::Vector3d a2 = accelerate(v2);
  const Eigen::Vector3d v3 = s.v_mps + dt_s / 2 * a2;
  const Eigen::Vector3d a3 = accelerate(v3);
  const Eigen::Vector3d v4 = s.v_mps + dt_s * a3;
  const Eigen::Vector3d a4 = accelerate(v4);
  MovingBall next = s;
  next.x_m += dt_s / 6 * (v1 + 2 * v2 + 2 * v3 + v4);
  next.v_mps += dt_s / 6 * (a1 + 2 * a2 + 2 * a3 + a4);
  return next;
}

}  // namespace evenfeed
