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

#include <algorithm>
#include <array>
#include <cmath>
#include <type_traits>

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

/// How many steps fly() takes.
inline int flight_steps(double dt_s) {
  return std::max(
      1, static_cast<int>(std::ceil(std::abs(dt_s) / kFlightStep_s - 1e-9)));
}

inline double scalar_part(double x) { return x; }
template <typename Jet>
double scalar_part(const Jet& x) {
  return x.a;
}

/// What a flight comes to, and how it depends on the six things it starts
/// from: velocity (3), drag, lift and side lift.
struct FlownState {
  BallState<double> end;
  Eigen::Matrix<double, 3, 6> x_slopes;
  Eigen::Matrix<double, 3, 6> v_slopes;
  Eigen::Vector3d acceleration_mps2;  ///< at the end
};

/// The state `dt_s` later or earlier, in equal steps of at most kFlightStep_s,
/// each followed by its own derivatives.
FlownState fly_with_slopes(const BallState<double>& start,
                           double dt_s,
                           const AirForces<double>& air);

/// The state `dt_s` later or earlier. However many unknowns the solver's
/// numbers carry, a flight depends on six things; place and time come in by
/// themselves (dx/dx0 = 1, dx/dt = v, dv/dt = a), and the chain rule does the
/// rest.
template <typename T>
BallState<T> fly(const BallState<T>& start,
                 const T& dt_s,
                 const AirForces<T>& air) {
  if constexpr (std::is_same_v<T, double>) {
    const int steps = flight_steps(dt_s);
    BallState<double> state = start;
    for (int i = 0; i < steps; ++i) {
      state = runge_kutta_step(state, dt_s / steps, air);
    }
    return state;
  } else {
    const std::array<const T*, 6> inputs{&start.v_mps[0],
                                         &start.v_mps[1],
                                         &start.v_mps[2],
                                         &air.drag_per_m,
                                         &air.lift_per_m,
                                         &air.side_per_m};
    BallState<double> from;
    for (int i = 0; i < 3; ++i) {
      from.x_m[i] = start.x_m[i].a;
      from.v_mps[i] = start.v_mps[i].a;
    }
    const FlownState flown = fly_with_slopes(
        from, dt_s.a, {air.drag_per_m.a, air.lift_per_m.a, air.side_per_m.a});
    BallState<T> end;
    for (int i = 0; i < 3; ++i) {
      T& x = end.x_m[i];
      T& v = end.v_mps[i];
      x.a = flown.end.x_m[i];
      v.a = flown.end.v_mps[i];
      x.v = start.x_m[i].v + flown.end.v_mps[i] * dt_s.v;
      v.v = flown.acceleration_mps2[i] * dt_s.v;
      for (int k = 0; k < 6; ++k) {
        const auto& input = inputs[static_cast<std::size_t>(k)]->v;
        x.v += flown.x_slopes(i, k) * input;
        v.v += flown.v_slopes(i, k) * input;
      }
    }
    return end;
  }
}

}  // namespace evenfeed
