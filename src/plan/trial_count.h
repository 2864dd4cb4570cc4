// SPDX-License-Identifier: MIT
// How many trials the next test takes.
#pragma once

#include "stats/power.h"

#include <string>

namespace evenfeed {

struct TrialCount {
  double pairs = 0;   ///< rounded up
  double trials = 0;  ///< usable feeds per sample, calipers discounted
};

/// `sd` of the paired differences, `paired_share` of the feeds of a sample
/// that find a partner. Throws UsageError for values that cannot be.
TrialCount count_for_difference(double difference,
                                double sd,
                                double paired_share,
                                const TestAim& aim);

/// Two success shares. Pairs by McNemar's test when trials agree no more than
/// chance makes them: `correlation` of the outcomes within a pair lowers the
/// share of pairs that disagree.
TrialCount count_for_shares(double share_a,
                            double share_b,
                            double correlation,
                            double paired_share,
                            const TestAim& aim);

/// Yes/no: a difference of shares when so large a share of the pairs disagrees.
TrialCount count_for_discordant(double difference,
                                double discordant,
                                double paired_share,
                                const TestAim& aim);

/// Trials per sample when the two shares are compared without pairs.
double unpaired_count(double share_a, double share_b, const TestAim& aim);

/// What a pilot comparison (effect.json of `pair`) says about the next one.
struct Pilot {
  std::string outcome;
  bool yes_no = false;
  double sd = 0;            ///< of the paired differences
  double films = 0;         ///< Effect::films: uncertain whatever their number
  double discordant = 0;    ///< yes/no: share of pairs that disagree
  double paired_share = 1;  ///< pairs / usable feeds of the smaller sample
  int pairs = 0;
};

/// `outcome` empty: the first one. Throws InputError.
Pilot read_pilot(const std::string& json,
                 const std::string& name,
                 const std::string& outcome);

}  // namespace evenfeed
