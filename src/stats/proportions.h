// SPDX-License-Identifier: MIT
// How well a share is known from a few yes-or-no outcomes, and the difference
// of two shares. Intervals are two-sided with the given confidence.
//
// Counts below 0 or above their total, totals below 1 and a confidence outside
// (0, 1) throw std::logic_error.
#pragma once

#include "stats/interval.h"

namespace evenfeed {

/// `yes` of `all`.
struct Share {
  int yes = 0;
  int all = 0;
  double value() const { return static_cast<double>(yes) / all; }
};

/// Score interval (Wilson 1927, JASA 22:209): the shares p with
/// |x/n - p| <= z sqrt(p (1 - p) / n).
[[nodiscard]] Interval wilson_interval(Share share, double confidence);

/// Clopper and Pearson (1934, Biometrika 26:404): from quantiles of the beta
/// distribution; covers at least as often as it says.
[[nodiscard]] Interval clopper_pearson_interval(Share share, double confidence);

/// a - b of two independent samples: Newcombe (1998, Statistics in Medicine
/// 17:873), method 10, from the two Wilson intervals.
[[nodiscard]] Interval newcombe_difference(Share a, Share b, double confidence);

/// Pairs with a yes-or-no outcome on both sides.
struct PairedCounts {
  int both = 0;
  int only_a = 0;
  int only_b = 0;
  int neither = 0;
  int pairs() const { return both + only_a + only_b + neither; }
  double difference() const {
    return static_cast<double>(only_a - only_b) / pairs();
  }
};

/// a - b of paired shares: Newcombe (1998, Statistics in Medicine 17:2635),
/// method 10, with his continuity-corrected phi.
[[nodiscard]] Interval newcombe_paired_difference(const PairedCounts& counts,
                                                  double confidence);

/// Two-sided exact McNemar test: the discordant pairs fall either way like
/// heads and tails (binomial, twice the smaller tail). 1 without discordant
/// pairs.
double mcnemar_exact_p(const PairedCounts& counts);

/// Two-sided exact test of Fisher: the tables no likelier than the one seen,
/// all margins fixed.
double fisher_exact_p(Share a, Share b);

}  // namespace evenfeed
