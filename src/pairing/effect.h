// SPDX-License-Identifier: MIT
// How much two samples differ in an outcome, with the same feed.
//
// The matched estimate is the mean difference within sets (a - b), less what
// the difference in feed that is left in the sets makes (Rubin 1973, Biometrics
// 29:185; Abadie and Imbens 2011, J. Bus. Econ. Stat. 29:1): slopes from within
// the samples, allowed for what the feed's own measurement hides of them
// (feed_slopes.h). Its standard error is that of the whole of it, sets and
// slopes together, right for outcomes that scatter unequally; its interval is
// Student's. Yes/no outcomes are shares, corrected in the same way (a linear
// probability).
// Where the correction moves a yes/no difference by little beside its standard
// error, 1:1 pairs have the paired difference as it is, with Newcombe's
// interval and the exact McNemar test.
// Samples from films of their own: how far the films are apart by errors of
// their own, what both err alike left out, is films_apart.h; how much of the
// measured difference of the feeds is the launcher's is estimated
// (film_shift.h); what stays uncertain of it, and of the outcome in all feeds
// of a film, is in the interval.
// Beside it: the same correction for all usable feeds without pairs, and the
// raw difference, so that the reader sees what the feed explained.
#pragma once

#include "pairing/matched_sets.h"
#include "pairing/outcomes.h"
#include "stats/estimate.h"
#include "stats/power.h"
#include "stats/proportions.h"

#include <limits>
#include <string>
#include <vector>

namespace evenfeed {

struct EffectOptions {
  double confidence = 0.95;
  double power = 0.80;    ///< for what the test could have seen
  double difference = 0;  ///< pairs needed for it; 0: not asked
  /// The correction needs so many feeds more than it has coefficients.
  int spare_feeds = 8;
  /// Prior sd of how differently a launcher runs in two films, in sd of its
  /// feeds: one that was set up anew lies about twice its own scatter from
  /// where it was (common practice, no source).
  double launcher_shift_sd = 2;
  void check() const;
  TestAim aim() const { return {1 - confidence, power}; }
};

/// The mean feed of sample a less that of b.
struct FeedShift {
  int characteristic = 0;
  double measured = 0;
  double launcher = 0;  ///< what of it is taken to be the launcher's
  double sigma = 0;     ///< 0: one film
};

struct Effect {
  std::string outcome;
  OutcomeKind kind = OutcomeKind::kNumber;
  int a = 0;  ///< place among the samples
  int b = 1;
  int known_a = 0;  ///< usable feeds with the outcome known
  int known_b = 0;
  int sets = 0;            ///< with the outcome known on both sides
  bool corrected = false;  ///< `matched` is corrected for what was left
  bool exact = false;      ///< yes/no, so even that pairs were counted
  /// Not corrected, although the feeds of the sets still differ, or films may
  /// be apart in them.
  bool uneven = false;

  IntervalEstimate matched;  ///< the answer; `films` is in its interval
  /// Standard uncertainty of it from what the samples' films leave uncertain
  /// in all of their feeds alike; 0: one film, or not known.
  double films = 0;
  IntervalEstimate all_feeds;  ///< all usable feeds, corrected, without pairs
  /// All usable feeds, without regard to the feed.
  double raw = std::numeric_limits<double>::quiet_NaN();

  PairedCounts counts;  ///< yes/no, 1:1 only
  Share share_a;        ///< yes/no: all usable feeds
  Share share_b;

  double p_holm = std::numeric_limits<double>::quiet_NaN();
  /// Smallest difference found with the aimed power.
  double detectable = std::numeric_limits<double>::quiet_NaN();
  /// Pairs needed for EffectOptions::difference.
  double pairs_needed = std::numeric_limits<double>::quiet_NaN();
  /// Median standard uncertainty of one reading of the outcome; 0: not given.
  double reading_sigma = 0;
  /// Per characteristic: a minus b that is the launcher's as far as can be
  /// told, and its standard uncertainty; empty when nothing is corrected.
  std::vector<FeedShift> shifts;

  bool significant(double confidence) const {
    return matched.ok && p_holm <= 1 - confidence;
  }
};

/// One outcome, samples a and b. `matched` is not ok with fewer than two sets
/// in which it is known.
Effect estimate_effect(const std::vector<Sample>& samples,
                       const Matching& matching,
                       const FeedDistance& distance,
                       const Outcome& outcome,
                       int a,
                       int b,
                       const EffectOptions& options);

/// Sets p_holm of each, over all of them.
void adjust_for_multiplicity(std::vector<Effect>& effects);

}  // namespace evenfeed
