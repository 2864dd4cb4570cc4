// SPDX-License-Identifier: MIT
#include "sound/sample_clock.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

SampleClock::Reading SampleClock::stamped(double stamp_s, double duration_s) {
  const double off_s = stamp_s - next_s_;
  if (blocks_ == 0 || std::abs(off_s) > gap_s_) {
    blocks_ = 1;
    next_s_ = stamp_s + duration_s;
    return {stamp_s, false};
  }
  // The mean of the first stamps, then a mean that forgets.
  ++blocks_;
  next_s_ += off_s * std::max(1.0 / blocks_, duration_s / kSlow_s);
  return unstamped(duration_s);
}

SampleClock::Reading SampleClock::unstamped(double duration_s) {
  const Reading reading{next_s_, blocks_ > 0};
  blocks_ = std::max(blocks_, 1);
  next_s_ += duration_s;
  return reading;
}

}  // namespace evenfeed
