// SPDX-License-Identifier: MIT
// What the picture says should be heard, and when.
#pragma once

namespace evenfeed {

struct ExpectedTick {
  double t_s = 0;  ///< when it happens, by the picture's clock
  /// Of t_s, of this one alone: what is wrong with all alike is the offset's.
  double sigma_s = 0;
  double distance_m = 0;  ///< from where it happens to the microphone
};

}  // namespace evenfeed
