// SPDX-License-Identifier: MIT
// One feed of the launcher: what was measured, how well, and what was not.
#pragma once

#include "flight/characteristics.h"
#include "flight/return_values.h"

#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <string_view>

namespace evenfeed {

enum class FeedStatus {
  kMeasured,      ///< the bounce lies within the sightings
  kExtrapolated,  ///< no bounce seen: the landing is computed from the arc
  kUnmeasured,    ///< a feed for certain, but it could not be fitted
};

/// A row of feeds.csv. A feed is never dropped: what cannot be measured is a
/// row with status kUnmeasured and the reason in `note`.
struct Feed {
  int number = 0;  ///< 1, 2, ... in order of time
  double t_launch_s = std::numeric_limits<double>::quiet_NaN();
  double t_bounce_s = std::numeric_limits<double>::quiet_NaN();
  double st_bounce_s = std::numeric_limits<double>::quiet_NaN();
  std::array<Measured, kCharacteristicCount> values;
  /// What the sample made of it; not known when nothing came back.
  std::array<Measured, kReturnValueCount> returned;
  double rho_xy = std::numeric_limits<double>::quiet_NaN();
  int sightings = 0;
  double rms_px = std::numeric_limits<double>::quiet_NaN();
  std::string timing = "sight";
  FeedStatus status = FeedStatus::kUnmeasured;
  std::string note;

  Measured& operator[](Characteristic id) {
    return values[static_cast<std::size_t>(id)];
  }
  const Measured& operator[](Characteristic id) const {
    return values[static_cast<std::size_t>(id)];
  }
  void add_note(std::string_view words) {
    if (!note.empty()) note += "; ";
    note += words;
  }
};

}  // namespace evenfeed
