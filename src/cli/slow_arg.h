// SPDX-License-Identifier: MIT
// How many times slower a film plays than it was taken, shared by calibrate,
// measure and session.
#pragma once

#include "cli/arguments.h"
#include "geometry/sighting.h"
#include "vision/video_source.h"

#include <optional>
#include <vector>

namespace evenfeed {

class SlowArg {
 public:
  void setup(Arguments& args);
  VideoOptions video() const;
  /// The same of sightings that stand in a film's place.
  std::vector<Sighting> as_taken(std::vector<Sighting> sightings) const;

 private:
  std::optional<double> slow_;
};

}  // namespace evenfeed
