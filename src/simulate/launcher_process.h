// SPDX-License-Identifier: MIT
// What the launcher does from feed to feed. For feed i = 0, 1, ...
//   value_i = mean + warm_up exp(-i / tau) + drift i + sd e_i
//   e_i = phi e_(i-1) + sqrt(1 - phi^2) n_i,  n_i standard normal, e_0 = n_0
// for speed, elevation and heading; spin and exit point without trend.
#pragma once

#include "simulate/ball_motion.h"

#include <cstdint>
#include <vector>

namespace evenfeed {

struct Launch {
  double t_s = 0;  ///< the ball's centre is at the exit point
  MovingBall state;
  bool misfeed = false;
  bool second_of_double = false;
};

/// Every launch of the film in order of time. The same seed gives the same.
std::vector<Launch> launches(const LauncherOptions& launcher,
                             std::uint64_t seed);

}  // namespace evenfeed
