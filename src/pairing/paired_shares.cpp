// SPDX-License-Identifier: MIT
#include "pairing/paired_shares.h"

#include "base/nan.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

double disagreeing(const PairedCounts& counts) {
  return static_cast<double>(counts.only_a + counts.only_b) / counts.pairs();
}

}  // namespace

IntervalEstimate paired_share_difference(const PairedCounts& counts,
                                         double confidence) {
  IntervalEstimate estimate;
  estimate.ok = true;
  estimate.value = counts.difference();
  estimate.interval = newcombe_paired_difference(counts, confidence);
  estimate.p = mcnemar_exact_p(counts);
  return estimate;
}

double detectable_share(const PairedCounts& counts, const TestAim& aim) {
  const int n = counts.pairs();
  if (n == 0) return kNaN;
  const double seen = disagreeing(counts);
  const auto needed = [&](double difference) {
    return mcnemar_size(std::max(seen, difference), difference, aim);
  };
  if (needed(1) > n) return kNaN;
  double low = 0;
  double high = 1;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (needed(middle) > n ? low : high) = middle;
  }
  return high;
}

double share_pairs_needed(const PairedCounts& counts,
                          double difference,
                          const TestAim& aim) {
  if (difference <= 0 || counts.pairs() == 0) return kNaN;
  const double discordant = std::max(disagreeing(counts), difference);
  return discordant <= 1 ? mcnemar_size(discordant, difference, aim) : kNaN;
}

}  // namespace evenfeed
