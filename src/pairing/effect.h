// SPDX-License-Identifier: MIT
// How much two samples differ in an outcome, with the same feed.
//
// The matched estimate is the mean difference within sets (a - b). What
// difference in feed the calipers left within the sets is taken off by
// regressing the differences on the differences of the characteristics; the
// intercept is the difference at equal feeds (Rubin 1973, Biometrics 29:185;
// Abadie and Imbens 2011, J. Bus. Econ. Stat. 29:1). Its interval is Student's.
// Hodges-Lehmann, the bootstrap and the signed-rank test take the corrected
// differences as they are. Yes/no outcomes of 1:1 pairs have the paired
// difference with Newcombe's interval and the exact McNemar test.
// Samples from films of their own: what a film leaves uncertain in all its
// feeds alike (calibration, air, spin) does not go away in pairs. With c_k how
// far the two films may be apart in characteristic k, and b_k the outcome's
// slope on it, it adds sum |b_k| c_k to the standard error, and the outcome's
// own; the causes are the same, so that they are not added as squares.
// Hodges-Lehmann, the bootstrap and the sensitivity are within these films.
// Beside it, so that the reader sees what the feed explained: the raw
// difference of all usable feeds, and that adjusted by least squares on the
// characteristics.
#pragma once

#include "stats/estimate.h"
#include "stats/power.h"
#include "stats/proportions.h"
#include "stats/signed_rank.h"

#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "pairing/matched_sets.h"
#include "pairing/outcomes.h"

namespace evenfeed {

struct EffectOptions {
  double confidence = 0.95;
  double power = 0.80;     ///< for what the test could have seen
  double difference = 0;   ///< pairs needed for it; 0: not asked
  int resamples = 2000;    ///< of the bootstrap
  std::uint64_t seed = 1;  ///< of the bootstrap
  /// The correction needs so many pairs more than it has coefficients.
  int spare_pairs = 8;
  void check() const;
  TestAim aim() const { return {1 - confidence, power}; }
};

struct Effect {
  std::string outcome;
  OutcomeKind kind = OutcomeKind::kNumber;
  int a = 0;  ///< place among the samples
  int b = 1;
  int sets = 0;            ///< with the outcome known on both sides
  bool corrected = false;  ///< `matched` is corrected for what was left

  Estimate matched;  ///< the answer; `films` is in its interval
  /// Standard uncertainty of it from what the samples' films leave uncertain
  /// in all of their feeds alike; 0: one film, or not known.
  double films = 0;
  Estimate uncorrected;  ///< plain paired t
  Estimate raw;          ///< all usable feeds, no matching
  Estimate adjusted;     ///< all usable feeds, regressed on the feed

  HodgesLehmann hodges_lehmann;  ///< numbers only
  Interval bootstrap;            ///< numbers only
  double signed_rank_p = std::numeric_limits<double>::quiet_NaN();

  PairedCounts counts;  ///< yes/no, 1:1 only
  Share share_a;        ///< yes/no: all usable feeds
  Share share_b;
  double fisher_p = std::numeric_limits<double>::quiet_NaN();

  double p_holm = std::numeric_limits<double>::quiet_NaN();
  /// Smallest difference found with the aimed power.
  double detectable = std::numeric_limits<double>::quiet_NaN();
  /// Pairs needed for EffectOptions::difference.
  double pairs_needed = std::numeric_limits<double>::quiet_NaN();
  /// The odds within a pair by which a hidden cause would have to favour one
  /// side to undo the result (Rosenbaum's gamma); NaN when there is none.
  double gamma = std::numeric_limits<double>::quiet_NaN();
  /// Median standard uncertainty of one reading of the outcome; 0: not given.
  double reading_sigma = 0;

  std::vector<double> differences;  ///< per set, corrected if `corrected`

  bool significant(double confidence) const {
    return matched.ok && p_holm <= 1 - confidence;
  }
};

/// One outcome, samples a and b. `matched` is not ok with fewer than two sets.
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
