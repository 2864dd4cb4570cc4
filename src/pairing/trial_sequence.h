// SPDX-License-Identifier: MIT
// In which order two samples were tried, and how much of their difference a
// steady drift could have made.
#pragma once

#include "pairing/outcomes.h"
#include "pairing/sample.h"

#include <vector>

namespace evenfeed {

struct TrialSequence {
  /// The files do not say where their feeds stand in the whole test (no column
  /// `order`, and feed numbers that overlap): taken as one after the other.
  bool separate = false;
  /// Chance that a feed of a comes before one of b: 0.5 when interleaved.
  double a_first = 0.5;
  /// Feeds between the middles of a and b, positive when a came first.
  double apart = 0;
  std::vector<std::vector<double>> places;  ///< of the feeds of a, of b

  bool mixed_with_sample() const { return a_first > 0.9 || a_first < 0.1; }
};
TrialSequence trial_sequence(const Sample& a, const Sample& b);

/// A straight line within both samples with a common slope and a level each,
/// carried over the feeds that lie between them: what drift alone would have
/// made of a - b. NaN below 3 known values.
struct Drift {
  double between_samples = 0;
  double se = 0;
};
Drift drift_between(const TrialSequence& sequence,
                    const Eigen::VectorXd& values_a,
                    const Eigen::VectorXd& values_b);

}  // namespace evenfeed
