// SPDX-License-Identifier: MIT
// How many times slower a film plays than it was taken, or how many frames a
// second it was taken at; shared by calibrate, measure and session.
#pragma once

#include "cli/arguments.h"
#include "film/video_source.h"
#include "geometry/sighting.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

class SlowArg {
 public:
  void setup(Arguments& args);
  /// `film` is empty for sightings. Throws UsageError when both were given, or
  /// a rate of sightings; InputError when the film does not tell its own rate.
  VideoOptions video(const std::filesystem::path& film) const;
  /// What was given, as it is typed.
  [[nodiscard]] std::vector<std::string> words() const;
  /// The same of sightings that stand in a film's place.
  std::vector<Sighting> as_taken(std::vector<Sighting> sightings) const;

 private:
  std::optional<double> slow_;
  std::optional<double> taken_hz_;
};

/// A film taken at one rate that plays at another is slower by this factor; the
/// whole number (or one over it) where that is within half a per cent, since
/// 240 frames a second shown at 29.97 are meant to be 8 times slower.
[[nodiscard]] double slow_factor(double taken_hz, double plays_hz);

}  // namespace evenfeed
