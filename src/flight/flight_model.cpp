// SPDX-License-Identifier: MIT
#include "flight/flight_model.h"

namespace evenfeed {

BallState<double> flight_state(const FlightVector& p,
                               const FlightOptions& options,
                               double t_s) {
  const Arc arc = t_s < p[kTimeOfBounce] ? Arc::kIn : Arc::kOut;
  return flight_state(p, options, arc, t_s);
}

BallState<double> flight_state(const FlightVector& p,
                               const FlightOptions& options,
                               Arc arc,
                               double t_s) {
  return fly<double>(state_at_bounce(p, arc, options.ball.radius_m),
                     t_s - p[kTimeOfBounce],
                     forces_of_arc(p, arc, options.air_per_m()));
}

}  // namespace evenfeed
