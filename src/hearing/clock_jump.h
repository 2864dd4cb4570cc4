// SPDX-License-Identifier: MIT
// Does the sound's clock jump? Where a piece of a film's sound is missing, what
// follows is early, and a jump of some milliseconds passes for a drift that
// leaves every bounce off by part of it. So what is left of the heard bounces
// (e_i: heard less seen, sd s_i) is explained once by a straight line in time,
// and once by that and a step at each time between two of them:
//
//   gain = (sum h e / s^2)^2 / sum h^2 / s^2,  h: the step less its own line,
//
// squared sigmas, over what the residuals scatter beyond their sds.
#pragma once

#include <vector>

namespace evenfeed {

struct LeftOfClock {
  double t_s = 0;      ///< when, by the picture
  double off_s = 0;    ///< heard less seen
  double sigma_s = 0;  ///< of off_s
};

struct ClockJump {
  double gain = 0;  ///< of the likeliest step; 0 with too few to tell
  double t_s = 0;   ///< when it is
  double by_s = 0;  ///< sound later from then on: positive
};

/// `left` in any order.
[[nodiscard]] ClockJump likeliest_jump(std::vector<LeftOfClock> left);

}  // namespace evenfeed
