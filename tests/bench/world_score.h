// SPDX-License-Identifier: MIT
// What measure made of a random world, held against the truth.
#pragma once

#include "bench/film_errors.h"
#include "bench/world_quantities.h"
#include "bench/world_sightings.h"
#include "pipeline/measurement.h"

#include <array>
#include <string>
#include <vector>

namespace evenfeed {

struct WorldScore {
  std::uint64_t seed = 0;
  int launches = 0;
  int falling = 0;   ///< of those, seen below the table's top before they touch
  int bouncing = 0;  ///< of those seen well before and after their bounce
  int found = 0;     ///< of those, measured within 60 ms of it
  int false_rows = 0;        ///< measured where no feed bounced
  int ghost_rows = 0;        ///< not measured, and nothing was thrown then
  bool retimed = false;      ///< said to be saved again at another rate
  int false_returns = 0;     ///< told of a feed that did not hit the sample
  int expected = 0;          ///< launches seen 8 times or more
  int missing = 0;           ///< of those, without any row
  int missing_misfeeds = 0;  ///< the part of `missing` that are mis-feeds
  int in_ellipse = 0, landings = 0;
  std::array<Errors, kWorldQuantities> errors;  ///< of the feeds measured
  /// Stated, of the session; NaN when not known.
  std::array<double, kWorldQuantities> common_sigma;
  double sigma_scale = 1;  ///< found, of the sightings
  std::vector<SharedQuantity> shared;
  std::vector<std::string> warnings;
  std::vector<std::string> lines;  ///< feed by feed, for people

  /// Rms of errors about the session's mean over sigma; NaN below 5 feeds.
  double within(int quantity) const;
  /// The session's mean error over its sigma; NaN likewise.
  double mean_error(int quantity) const;
  /// How bad it is, 0 when all is well, and the words for it.
  double badness(std::string* words = nullptr) const;
};

/// What somebody measured of the world's balls against their truth.
WorldScore judge_world(const RandomWorld& world, const SessionFit& fit);

/// Sightings frame by frame, empty ones too, as a film is measured.
Measurement measure_frames(const RandomWorld& world,
                           const std::vector<Sighting>& sightings);

/// Frame by frame like a film, or like a file of sightings, which does not say
/// where frames begin.
WorldScore measure_world(const RandomWorld& world, bool as_file = false);

}  // namespace evenfeed
