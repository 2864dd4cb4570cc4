// SPDX-License-Identifier: MIT
// How much what feeds have in common, spin, kick, the ball itself, scatters
// from feed to feed: learned from a session's own feeds beside a few imagined
// ones that scatter as launchers and balls do (EM for variance components;
// Dempster, Laird and Rubin 1977, section 4.4).
#pragma once

#include "flight/session_terms.h"

#include <array>
#include <cstddef>

namespace evenfeed {

/// No session is taken to be steadier than this.
struct LeastSpreads {
  double lift = 0.005;
  double kick = 0.01;  ///< of the turn too, rad
  double launch_m = 0.0015;
  void check() const;
};

/// Per shared prior: the sum over feeds of the square that is expected of its
/// residual, in its sd.
using SquaredResiduals = Eigen::Matrix<double, kSharedPriors, 1>;

class LearnedSpreads {
 public:
  /// Puts the spreads that are expected before any feed was seen into the
  /// priors' sds of `flight`.
  LearnedSpreads(FlightOptions& flight, const LeastSpreads& least);

  /// One step of EM, from the sds in `flight` to likelier ones; true when none
  /// of them moved by 2 %.
  [[nodiscard]] bool learn(const SquaredResiduals& sums,
                           std::size_t feeds,
                           FlightOptions& flight) const;

 private:
  struct Spread {
    double expected = 0;
    double least = 0;
    double imagined = 0;  ///< feeds; none: held fixed
  };
  std::array<Spread, kSharedPriors> spreads_{};
};

}  // namespace evenfeed
