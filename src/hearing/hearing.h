// SPDX-License-Identifier: MIT
// Which ticks of a film's sound are the bounces that its picture shows, and
// how the sound's clock runs beside the picture's.
//
// Offset and drift come from all feeds together (offset_scan, tick_mixture) and
// are taken only when they are much likelier than chance and than any other
// offset. A feed's tick is taken, the surest first, as long as no more than
// HearingOptions::most_wrong of those taken are expected to be another's (a
// Bayesian false discovery rate); the rest stay without one. So the rate of
// wrong ones is stated, and a feed that is in doubt keeps what was seen.
#pragma once

#include "geometry/tick.h"
#include "hearing/expected_tick.h"
#include "hearing/hearing_options.h"
#include "hearing/sound_clock.h"

#include <string>
#include <vector>

namespace evenfeed {

struct HeardTick {
  bool heard = false;
  double t_s = 0;      ///< when it happened, by the picture's clock
  double sigma_s = 0;  ///< of the tick alone, without the clock's uncertainty
  /// Not heard, but one like those heard stands so near that it should be it,
  /// further off than sight and sound may differ: by this, sound late positive.
  double contradicts_s = 0;
};

struct Hearing {
  bool agrees = false;
  std::string why_not = "the sound was not listened to";
  SoundClock clock;
  double share_heard = 0;
  double wrong = 0;  ///< the share of the heard expected to be wrong
  int heard = 0;
  std::vector<HeardTick> ticks;  ///< one for each expected
};

/// `ticks` in order of time, `expected` in any. Without agreement no tick is
/// heard.
[[nodiscard]] Hearing hear(const std::vector<ExpectedTick>& expected,
                           const std::vector<Tick>& ticks,
                           const HearingOptions& options);

/// The same for other sounds of the film (the contact with the sample), by the
/// clock that the bounces gave.
[[nodiscard]] Hearing hear_by(const SoundClock& clock,
                              const std::vector<ExpectedTick>& expected,
                              const std::vector<Tick>& ticks,
                              const HearingOptions& options);

}  // namespace evenfeed
