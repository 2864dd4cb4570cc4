// SPDX-License-Identifier: MIT
#include "cli/slow_arg.h"

namespace evenfeed {

void SlowArg::setup(Arguments& args) {
  args.add_option("--slow",
                  slow_,
                  "The film plays so many times slower than it was taken: 8 "
                  "for 240 frames a second shown at 30, 0.5 for twice as fast; "
                  "not given = as the film itself says, else 1")
      .within(0.01, 1000);
}

VideoOptions SlowArg::video() const {
  VideoOptions options;
  options.slow = slow_;
  return options;
}

std::vector<Sighting> SlowArg::as_taken(std::vector<Sighting> sightings) const {
  for (Sighting& one : sightings) one.t_s /= slow_.value_or(1);
  return sightings;
}

}  // namespace evenfeed
