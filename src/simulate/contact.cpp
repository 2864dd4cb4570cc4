// SPDX-License-Identifier: MIT
#include "simulate/contact.h"

#include <algorithm>

#include <Eigen/Geometry>

namespace evenfeed {

MovingBall bounce(const MovingBall& state,
                  const Eigen::Vector3d& normal,
                  const ContactLaw& law,
                  double radius_m) {
  constexpr double kGrip = 0.4;
  const double approach = state.v_mps.dot(normal);
  if (approach >= 0) return state;
  const Eigen::Vector3d along = state.v_mps - approach * normal;
  const Eigen::Vector3d slip =
      along - radius_m * state.spin_radps.cross(normal);
  const double slip_speed = slip.norm();
  double alpha = kGrip;
  if (slip_speed > 0) {
    alpha = std::min(
        kGrip, law.friction * (1 + law.restitution) * -approach / slip_speed);
  }
  MovingBall after = state;
  after.v_mps = along - alpha * slip - law.restitution * approach * normal;
  after.spin_radps += 1.5 * alpha / radius_m * normal.cross(slip);
  return after;
}

}  // namespace evenfeed
