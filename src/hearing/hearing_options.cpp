// SPDX-License-Identifier: MIT
#include "hearing/hearing_options.h"

#include "base/check.h"

#include <cmath>

namespace evenfeed {

void HearingOptions::check() const {
  require_in_range(speed_of_sound_mps, 200, 2000, "speed_of_sound_mps");
  require_positive(offset_sd_s, "offset_sd_s");
  require_in_range(most_offset_s, 0.01, 10, "most_offset_s");
  require_positive(drift_sd, "drift_sd");
  require_in_range(most_drift, 0, 1e-2, "most_drift");
  require_probability(most_wrong, "most_wrong");
  require_in_range(fewest, 3, 1000, "fewest");
  require_probability(least_share, "least_share");
  require_positive(least_gain, "least_gain");
  require_in_range(most_gain_of_twice, 0, 10, "most_gain_of_twice");
}

double speed_of_sound_mps(double celsius) {
  return 331.3 * std::sqrt(1 + celsius / 273.15);
}

}  // namespace evenfeed
