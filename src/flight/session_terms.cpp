// SPDX-License-Identifier: MIT
#include "flight/session_terms.h"

#include <limits>

namespace evenfeed {

std::array<Belief, kBeliefs> beliefs_of(const FlightOptions& options) {
  std::array<Belief, kBeliefs> beliefs;
  beliefs[kSessionDrag] = options.drag;
  beliefs[kSessionLiftIn] = options.lift_in;
  beliefs[kSessionLiftOut] = options.lift_out;
  beliefs[kSessionSideLiftIn] = options.side_lift_in;
  beliefs[kSessionSideLiftOut] = options.side_lift_out;
  beliefs[kSessionRestitution] = options.restitution;
  beliefs[kSessionKick] = options.kick;
  beliefs[kSessionTurn] = options.turn;
  beliefs[kSessionLaunchHeight] =
      options.launch_height
          ? options.launch_height->z_m
          : Belief{0, std::numeric_limits<double>::infinity()};
  return beliefs;
}

void put_beliefs(const std::array<Belief, kBeliefs>& beliefs,
                 FlightOptions& options) {
  options.drag = beliefs[kSessionDrag];
  options.lift_in = beliefs[kSessionLiftIn];
  options.lift_out = beliefs[kSessionLiftOut];
  options.side_lift_in = beliefs[kSessionSideLiftIn];
  options.side_lift_out = beliefs[kSessionSideLiftOut];
  options.restitution = beliefs[kSessionRestitution];
  options.kick = beliefs[kSessionKick];
  options.turn = beliefs[kSessionTurn];
  if (options.launch_height) {
    options.launch_height->z_m = beliefs[kSessionLaunchHeight];
  }
}

}  // namespace evenfeed
