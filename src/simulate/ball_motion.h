// SPDX-License-Identifier: MIT
// A ball in free flight, integrated in fine fixed steps (RK4). Written apart
// from the flight fit on purpose: the two check each other.
//
//   a = g - k Cd |v| v + k CL |v|^2 (w^ x v^),   k = 1/2 rho pi r^2 / m
//   CL = lift_limit (1 - exp(-S / lift_scale)),  S = r |w| / |v|
//
// w^ and v^ are unit vectors and w^ x v^ is not normalised, so that spin along
// the line of flight gives no lift. The saturating CL is this simulation's own
// choice: measured lift coefficients scatter between 0.16 and 0.25 over the
// playing range (Conti et al. 2026) and rise from zero with the spin. Spin is
// constant in flight (Schneider et al. 2022).
#pragma once

#include "simulate/scene.h"

#include <Eigen/Core>

namespace evenfeed {

struct MovingBall {
  Eigen::Vector3d x_m = Eigen::Vector3d::Zero();
  Eigen::Vector3d v_mps = Eigen::Vector3d::Zero();
  Eigen::Vector3d spin_radps = Eigen::Vector3d::Zero();
};

Eigen::Vector3d flight_acceleration(const BallPhysics& ball,
                                    const Eigen::Vector3d& v_mps,
                                    const Eigen::Vector3d& spin_radps);

/// The state `dt_s` later, one RK4 step.
MovingBall fly(const BallPhysics& ball, const MovingBall& state, double dt_s);

}  // namespace evenfeed
