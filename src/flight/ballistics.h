// SPDX-License-Identifier: MIT
// Flight of a ball through air, as the fit models it. Templated so that the
// solver can differentiate it.
//
//   a = g - kd |v| v + kl |v| (v x s) + ks |v|^2 s,  s = (-vy, vx, 0) / |v_xy|
//
// kd, kl, ks = rho A C / (2 m) with the drag, lift (positive = up) and side
// lift (positive = left) coefficient. s points left of the motion, v x s up.
// Each arc has constant coefficients: over 0.2-0.5 s of flight spin and speed
// change too little for more to be seen (Schneider et al. 2022, IntechOpen
// 107026: spin constant in flight).
#pragma once

#include "base/units.h"

#include <cmath>

#include <Eigen/Core>
#include <Eigen/Geometry>

namespace evenfeed {

template <typename T>
struct AirForces {
  T drag_per_m = T(0);
  T lift_per_m = T(0);
  T side_per_m = T(0);
};

template <typename T>
struct BallState {
  Eigen::Matrix<T, 3, 1> x_m;
  Eigen::Matrix<T, 3, 1> v_mps;
};

template <typename T>
Eigen::Matrix<T, 3, 1> acceleration_mps2(const Eigen::Matrix<T, 3, 1>& v,
                                         const AirForces<T>& air) {
  using std::sqrt;
  // The floor keeps the derivative finite for a ball at rest.
  const T flat = sqrt(v.x() * v.x() + v.y() * v.y() + T(1e-12));
  const T speed = sqrt(v.squaredNorm() + T(1e-12));
  const Eigen::Matrix<T, 3, 1> side(-v.y() / flat, v.x() / flat, T(0));
  const Eigen::Matrix<T, 3, 1> up = v.cross(side);
  Eigen::Matrix<T, 3, 1> a = -air.drag_per_m * speed * v +
                             air.lift_per_m * speed * up +
                             air.side_per_m * speed * speed * side;
  a.z() -= T(kGravity_mps2);
  return a;
}

/// The state `dt_s` later (or earlier, if negative), by one classical
/// Runge-Kutta step. At 10 ms the error is below 1e-6 m at 15 m/s.
template <typename T>
BallState<T> runge_kutta_step(const BallState<T>& s,
                              const T& dt_s,
                              const AirForces<T>& air) {
  using Vector = Eigen::Matrix<T, 3, 1>;
  const T half = dt_s / T(2);
  const Vector a1 = acceleration_mps2(s.v_mps, air);
  const Vector v2 = s.v_mps + half * a1;
  const Vector a2 = acceleration_mps2(v2, air);
  const Vector v3 = s.v_mps + half * a2;
  const Vector a3 = acceleration_mps2(v3, air);
  const Vector v4 = s.v_mps + dt_s * a3;
  const Vector a4 = acceleration_mps2(v4, air);
  const T sixth = dt_s / T(6);
  BallState<T> next;
  next.x_m = s.x_m + sixth * (s.v_mps + T(2) * v2 + T(2) * v3 + v4);
  next.v_mps = s.v_mps + sixth * (a1 + T(2) * a2 + T(2) * a3 + a4);
  return next;
}

/// The longest step taken by fly().
inline constexpr double kFlightStep_s = 0.010;

inline double scalar_part(double x) { return x; }
template <typename Jet>
double scalar_part(const Jet& x) {
  return x.a;
}

/// The state `dt_s` later or earlier, in steps of at most kFlightStep_s.
template <typename T>
BallState<T> fly(BallState<T> state, const T& dt_s, const AirForces<T>& air) {
  const int steps = std::max(
      1,
      static_cast<int>(
          std::ceil(std::abs(scalar_part(dt_s)) / kFlightStep_s - 1e-9)));
  const T step = dt_s / T(steps);
  for (int i = 0; i < steps; ++i) state = runge_kutta_step(state, step, air);
  return state;
}

}  // namespace evenfeed
