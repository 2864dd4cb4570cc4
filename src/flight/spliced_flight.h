// SPDX-License-Identifier: MIT
// A film from which an editor took a piece out while a ball flew goes on with
// another ball. Where that is about where the first would have been, both make
// one track, and one flight half of each ball nearly explains it. Its residuals
// then jump at the join, and go on otherwise than before.
//
// Asked is, for every place where a track may be joined, by how much chi^2
// falls when what follows may be another flight: other by a change D of bounce
// (time, place) and velocities, believed zero up to what feeds of a launcher
// may differ by. Linearised about the fitted flight p, with residuals r and
// derivatives J (rows i, the priors among them), N_c = sum_{i >= c} J_i^T J_i,
// N = J^T J, and e what a last step of Gauss and Newton leaves of r,
//
//   g = sum_{i >= c} J_i^T e_i      H = N_c - N_c N^-1 N_c + B^-2
//   gain_c = g^T H^-1 g
//
// (Neyman's score test with a prior on the alternative.) What all feeds of a
// session do, since a model errs in all of them alike, is no sign: a gain is
// held against the others'.
#pragma once

#include "flight/feed_finder.h"

#include <optional>
#include <vector>

namespace evenfeed {

struct Splice {
  double t_s = 0;   ///< of the first sighting that would be another ball's
  double gain = 0;  ///< squared sigmas
};

/// The likeliest join of a fitted feed; nothing when it is not fitted or too
/// few sightings lie on it.
[[nodiscard]] std::optional<Splice> likeliest_splice(
    const FoundFeed& feed,
    const CameraModel& camera,
    const FlightOptions& options);

/// This project's choice: tests/bench/chimeras, and no feed of a whole film.
struct SpliceLimits {
  double most_of_usual = 8;  ///< gain over the session's median
  int fewest_feeds = 5;      ///< to say what is usual
  void check() const;
};

/// Refuses feeds (kPoorFit, with the reason in the message) that go on as
/// another ball's.
void refuse_spliced(std::vector<FoundFeed>& found,
                    const CameraModel& camera,
                    const FlightOptions& options,
                    const SpliceLimits& limits);

/// Refuses feeds that flew while a film was cut: `joins_s` are the times of the
/// first pictures behind the cuts.
void refuse_joined(std::vector<FoundFeed>& found,
                   const std::vector<double>& joins_s);

}  // namespace evenfeed
