// SPDX-License-Identifier: MIT
#include "flight/session_terms.h"

#include <limits>

namespace evenfeed {

std::array<Prior, kSharedPriors> priors_of(const FlightOptions& options) {
  std::array<Prior, kSharedPriors> priors;
  priors[kSessionDrag] = options.drag;
  priors[kSessionLiftIn] = options.lift_in;
  priors[kSessionLiftOut] = options.lift_out;
  priors[kSessionSideLiftIn] = options.side_lift_in;
  priors[kSessionSideLiftOut] = options.side_lift_out;
  priors[kSessionRestitution] = options.restitution;
  priors[kSessionKick] = options.kick;
  priors[kSessionTurn] = options.turn;
  priors[kSessionLaunchHeight] =
      options.launch_height ? options.launch_height->z_m
                            : Prior{0, std::numeric_limits<double>::infinity()};
  return priors;
}

void put_priors(const std::array<Prior, kSharedPriors>& priors,
                FlightOptions& options) {
  options.drag = priors[kSessionDrag];
  options.lift_in = priors[kSessionLiftIn];
  options.lift_out = priors[kSessionLiftOut];
  options.side_lift_in = priors[kSessionSideLiftIn];
  options.side_lift_out = priors[kSessionSideLiftOut];
  options.restitution = priors[kSessionRestitution];
  options.kick = priors[kSessionKick];
  options.turn = priors[kSessionTurn];
  if (options.launch_height) {
    options.launch_height->z_m = priors[kSessionLaunchHeight];
  }
}

}  // namespace evenfeed
