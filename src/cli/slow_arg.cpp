// SPDX-License-Identifier: MIT
#include "cli/slow_arg.h"

#include "base/error.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {

void SlowArg::setup(Arguments& args) {
  args.add_option("--slow",
                  slow_,
                  "The film plays so many times slower than it was taken: 8 "
                  "for 240 frames a second shown at 30, 0.5 for twice as fast; "
                  "not given = as the film itself says, else 1")
      .within(0.01, 1000);
  args.add_option("--rate",
                  taken_hz_,
                  "Frames a second the film was taken at, where it plays at "
                  "another: --rate 240 in place of --slow 8")
      .within(1, 100000);
}

VideoOptions SlowArg::video(const std::filesystem::path& film) const {
  if (slow_ && taken_hz_) {
    throw UsageError("--slow and --rate say the same: give one of them");
  }
  VideoOptions options;
  options.slow = slow_;
  if (!taken_hz_) return options;
  if (film.empty()) {
    throw UsageError("--rate is for films; of sightings say --slow 8");
  }
  options.slow = 1;  // as it plays
  const double plays_hz = VideoSource(film, options).info().rate_hz;
  if (!(plays_hz > 0)) {
    throw InputError("--rate: " + film.string(),
                     "the film does not tell at what rate it plays",
                     "Say how many times slower it plays: --slow 8");
  }
  options.slow = slow_factor(*taken_hz_, plays_hz);
  return options;
}

std::vector<std::string> SlowArg::words() const {
  std::vector<std::string> words;
  if (slow_) words.insert(words.end(), {"--slow", fmt::format("{}", *slow_)});
  if (taken_hz_) {
    words.insert(words.end(), {"--rate", fmt::format("{}", *taken_hz_)});
  }
  return words;
}

double slow_factor(double taken_hz, double plays_hz) {
  constexpr double kSame = 0.005;
  const double factor = taken_hz / plays_hz;
  const double whole =
      factor >= 1 ? std::round(factor) : 1 / std::round(1 / factor);
  return std::abs(factor / whole - 1) < kSame ? whole : factor;
}

std::vector<Sighting> SlowArg::as_taken(std::vector<Sighting> sightings) const {
  for (Sighting& one : sightings) one.t_s /= slow_.value_or(1);
  return sightings;
}

}  // namespace evenfeed
