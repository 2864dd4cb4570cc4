// SPDX-License-Identifier: MIT
#include "cli/slow_arg.h"

#include <CLI/CLI.hpp>

namespace evenfeed {

void SlowArg::setup(CLI::App& app) {
  app.add_option("--slow",
                 slow_,
                 "The film plays so many times slower than it was taken: 8 "
                 "for 240 frames a second shown at 30, 0.5 for twice as fast; "
                 "not given = as the film itself says, else 1")
      ->check(CLI::Range(0.01, 1000.0));
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
