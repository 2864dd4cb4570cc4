// SPDX-License-Identifier: MIT
// What a film's sound did for its session, as summary.json and the page tell
// it.
#pragma once

#include <limits>
#include <string>

namespace evenfeed {

struct SoundTold {
  bool used = false;
  int bounces = 0;   ///< that were seen
  int heard = 0;     ///< of them, and used
  int contacts = 0;  ///< with the sample, by sight
  int contacts_heard = 0;
  /// Sound late against the picture, and how they run apart.
  double late_ms = std::numeric_limits<double>::quiet_NaN();
  double drift_ppm = std::numeric_limits<double>::quiet_NaN();
  /// Standard uncertainties of the heard, medians: as seen, and with sound.
  double st_seen_ms = std::numeric_limits<double>::quiet_NaN();
  double st_ms = std::numeric_limits<double>::quiet_NaN();
  double sx_seen_mm = std::numeric_limits<double>::quiet_NaN();
  double sx_mm = std::numeric_limits<double>::quiet_NaN();
  std::string words;  ///< a sentence; why it was not used, if so
};

}  // namespace evenfeed
