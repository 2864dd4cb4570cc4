// SPDX-License-Identifier: MIT
// The whole comparison: samples, sets, balance, effects, and what the test can
// not tell.
#pragma once

#include "pairing/balance.h"
#include "pairing/effect.h"
#include "pairing/feed_distance.h"
#include "pairing/matched_sets.h"
#include "pairing/outcomes.h"
#include "pairing/sample.h"
#include "session/sample_sheet.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

struct ComparisonOptions {
  CaliperOptions calipers;
  EffectOptions effect;
  int ratio = 1;          ///< feeds of the second sample per feed of the first
  int planned_pairs = 0;  ///< 0: none were planned
  void check() const;
};

/// Two of the samples against each other.
struct PairBalance {
  int a = 0;
  int b = 1;
  std::vector<BalanceRow> rows;
};

struct Comparison {
  std::vector<Sample> samples;
  std::vector<double> calipers;  ///< per characteristic; infinite: none
  Matching matching;
  std::vector<PairBalance> balances;  ///< every two samples
  std::vector<Effect> effects;        ///< every outcome, every two samples
  std::vector<Outcome> outcomes;      ///< what they were estimated from
  std::vector<std::string> caveats;   ///< what this test cannot tell
  std::vector<std::string> warnings;  ///< what was left out of the files
  double confidence = 0.95;
  double power = 0.80;
  double wanted_difference = 0;
};

/// `declared` is what is known about the samples, if anything.
Comparison compare(Samples samples,
                   const Outcomes& outcomes,
                   const std::optional<SampleSheet>& declared,
                   const ComparisonOptions& options);

}  // namespace evenfeed
