// SPDX-License-Identifier: MIT
// A hollow ball meets a flat, fixed surface with unit normal n (towards the
// ball). Slip of the lowest point u = v_t - r (w x n), v_t the part of v in
// the surface; hollow shell, I = 2/3 m r^2:
//
//   alpha = min( mu (1 + e) |v.n| / |u| ,  2/5 )        sliding | gripping
//   v' = v_t - alpha u - e (v.n) n
//   w' = w + 3 alpha / (2 r) (n x u)
//
// Source: Nakashima et al., ACC 2010 (the same law written for n = z); the
// 2/5 follows from a ball that leaves rolling, without tangential restitution.
#pragma once

#include "simulate/ball_motion.h"

#include <Eigen/Core>

namespace evenfeed {

struct ContactLaw {
  double restitution = 0.92;
  double friction = 0.22;
};

/// State right after the contact. Precondition: the ball moves into the
/// surface, v.n < 0; otherwise the state is returned as it is.
MovingBall bounce(const MovingBall& state,
                  const Eigen::Vector3d& normal,
                  const ContactLaw& law,
                  double radius_m);

}  // namespace evenfeed
