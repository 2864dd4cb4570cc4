// SPDX-License-Identifier: MIT
#include "pairing/comparison.h"

#include "base/check.h"
#include "pairing/caveats.h"

namespace evenfeed {

void ComparisonOptions::check() const {
  calipers.check();
  effect.check();
  require_in_range(ratio, 1, 100, "ratio");
  require_in_range(planned_pairs, 0, 1e6, "planned");
}

Comparison compare(Samples samples,
                   const Outcomes& outcomes,
                   const std::optional<SampleSheet>& declared,
                   const ComparisonOptions& options) {
  options.check();
  Comparison result;
  result.samples = std::move(samples.all);
  result.warnings = std::move(samples.warnings);
  result.warnings.insert(result.warnings.end(),
                         outcomes.warnings.begin(),
                         outcomes.warnings.end());
  result.confidence = options.effect.confidence;
  result.power = options.effect.power;
  result.wanted_difference = options.effect.difference;

  const FeedDistance distance(result.samples, options.calipers);
  result.calipers.assign(distance.calipers().begin(),
                         distance.calipers().end());
  result.matching = match(result.samples, distance, options.ratio);
  const auto count = static_cast<int>(result.samples.size());
  for (int a = 0; a < count; ++a) {
    for (int b = a + 1; b < count; ++b) {
      result.balances.push_back(
          {a, b, balance(result.samples, result.matching, a, b)});
    }
  }
  for (const Outcome& outcome : outcomes.all) {
    for (const PairBalance& two : result.balances) {
      result.effects.push_back(estimate_effect(result.samples,
                                               result.matching,
                                               distance,
                                               outcome,
                                               two.a,
                                               two.b,
                                               options.effect));
    }
  }
  result.outcomes = outcomes.all;
  adjust_for_multiplicity(result.effects);
  result.caveats =
      find_caveats(result, outcomes, distance, declared, options.planned_pairs);
  return result;
}

}  // namespace evenfeed
