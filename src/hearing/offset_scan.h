// SPDX-License-Identifier: MIT
// Where the sound may lie beside the picture: all offsets and drifts within
// what is allowed, each judged by all expected ticks together. For expected
// times e_i and a density D of ticks (each smeared by a few milliseconds)
//
//   score = sum_i ln(1 - h + h D(e_i) / rate),  h: the share thought heard,
//
// the likelihood against ticks that come at random, less what offset and drift
// strain their beliefs. An expected tick that is not heard costs little, ticks
// of something else cost nothing.
#pragma once

#include "geometry/tick.h"
#include "hearing/expected_tick.h"
#include "hearing/hearing_options.h"
#include "hearing/sound_clock.h"

#include <vector>

namespace evenfeed {

struct OffsetScan {
  /// The best places, the very best first, each some way off the others.
  std::vector<SoundClock> places;
  double tried = 0;  ///< how many there were to choose from
};

/// `ticks` in order of time. No places when nothing is expected or heard.
[[nodiscard]] OffsetScan scan_offsets(const std::vector<ExpectedTick>& expected,
                                      const std::vector<Tick>& ticks,
                                      const HearingOptions& options);

}  // namespace evenfeed
