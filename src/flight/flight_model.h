// SPDX-License-Identifier: MIT
// One feed as the fit sees it: two arcs that meet in one bounce, the ball's
// centre at height z = r above the table at that moment.
#pragma once

#include "flight/ballistics.h"
#include "flight/flight_options.h"

#include <Eigen/Core>

namespace evenfeed {

/// Places in the parameter vector. SI throughout; t counts from the film's
/// first frame.
enum FlightParameter {
  kTimeOfBounce,
  kBounceX,
  kBounceY,
  kVelocityIn,                     ///< 3 values, just before the bounce
  kVelocityOut = kVelocityIn + 3,  ///< 3 values, just after
  kLiftIn = kVelocityOut + 3,      ///< lift coefficient of the first arc
  kSideLiftIn,
  kLiftOut,
  kSideLiftOut,
  kDrag,  ///< drag coefficient, the same on both arcs
  kFlightParameters,
};

template <typename T>
using FlightVectorT = Eigen::Matrix<T, kFlightParameters, 1>;
using FlightVector = FlightVectorT<double>;
using FlightCovariance =
    Eigen::Matrix<double, kFlightParameters, kFlightParameters>;

enum class Arc { kIn, kOut };

template <typename T>
BallState<T> state_at_bounce(const FlightVectorT<T>& p, Arc arc, double r_m) {
  const int v = arc == Arc::kIn ? kVelocityIn : kVelocityOut;
  return {{p[kBounceX], p[kBounceY], T(r_m)}, {p[v], p[v + 1], p[v + 2]}};
}

template <typename T>
AirForces<T> forces_of_arc(const FlightVectorT<T>& p,
                           Arc arc,
                           double air_per_m) {
  const int lift = arc == Arc::kIn ? kLiftIn : kLiftOut;
  return {p[kDrag] * T(air_per_m),
          p[lift] * T(air_per_m),
          p[lift + 1] * T(air_per_m)};
}

/// Along the table before the bounce, m/s; never quite zero.
template <typename T>
T flat_speed_in(const FlightVectorT<T>& p) {
  using std::sqrt;
  return sqrt(p[kVelocityIn] * p[kVelocityIn] +
              p[kVelocityIn + 1] * p[kVelocityIn + 1] + T(1e-4));
}

/// Of that speed `in_mps`: what the bounce keeps in its direction, and what
/// appears across it, to the left.
template <typename T>
Eigen::Matrix<T, 2, 1> kept_of_speed(const FlightVectorT<T>& p,
                                     const T& in_mps) {
  return {(p[kVelocityOut] * p[kVelocityIn] +
           p[kVelocityOut + 1] * p[kVelocityIn + 1]) /
              (in_mps * in_mps),
          (p[kVelocityOut + 1] * p[kVelocityIn] -
           p[kVelocityOut] * p[kVelocityIn + 1]) /
              (in_mps * in_mps)};
}

/// Position and velocity at time t_s, on the arc that holds at that time.
BallState<double> flight_state(const FlightVector& p,
                               const FlightOptions& options,
                               double t_s);

/// The same on a given arc, whether or not it holds at that time.
BallState<double> flight_state(const FlightVector& p,
                               const FlightOptions& options,
                               Arc arc,
                               double t_s);

}  // namespace evenfeed
