// SPDX-License-Identifier: MIT
// Whose ticks they are, given about where the sound lies beside the picture.
//
// Each expected tick is heard with probability h, and then one of the ticks
// near it is it; all others come at random, at the rate seen around it. With
// N the normal density of the difference in time and q how much more a tick's
// strength and bands are like those of the expected ones than of the others,
//
//   w_ij = h N(heard_j - expected_i) q_j / rate_i
//   r_ij = w_ij / (1 - h + sum_j w_ij)
//
// is the probability that tick j is the one expected as i. h, q and the sound's
// clock are estimated with it (expectation and maximisation: Dempster, Laird
// and Rubin 1977); the clock by least squares, weighted by r_ij, with its
// beliefs.
#pragma once

#include "geometry/tick.h"
#include "hearing/expected_tick.h"
#include "hearing/hearing_options.h"
#include "hearing/sound_clock.h"

#include <vector>

namespace evenfeed {

/// A tick that may be the expected one.
struct Claim {
  int tick = -1;           ///< its place; -1: none
  double probability = 0;  ///< that it is the one
  double off_s = 0;        ///< heard less expected
  double sigma_s = 0;      ///< of off_s, the clock's part left out
};

struct TickMixture {
  SoundClock clock;
  double share_heard = 0;  ///< h
  /// Nats over ticks at random by their times alone, beliefs included.
  double gain = 0;
  /// The same with twice the stated sigmas, less `gain`: positive where sight
  /// and sound scatter about each other by more than they state.
  double gain_of_twice = 0;
  std::vector<Claim> claims;     ///< the likeliest of each expected tick
  std::vector<double> likeness;  ///< q of each tick
};

/// From a place of the scan. `ticks` in order of time.
[[nodiscard]] TickMixture match_ticks(const std::vector<ExpectedTick>& expected,
                                      const std::vector<Tick>& ticks,
                                      const SoundClock& start,
                                      const HearingOptions& options);

/// The same with a clock that is known.
[[nodiscard]] TickMixture match_ticks_by(
    const SoundClock& clock,
    const std::vector<ExpectedTick>& expected,
    const std::vector<Tick>& ticks,
    const HearingOptions& options);

}  // namespace evenfeed
