// SPDX-License-Identifier: MIT
// Yes/no outcomes of pairs with the same feed, counted.
#pragma once

#include "stats/estimate.h"
#include "stats/power.h"
#include "stats/proportions.h"

namespace evenfeed {

/// The paired difference with Newcombe's interval and the exact McNemar test;
/// at least one pair.
[[nodiscard]] IntervalEstimate paired_share_difference(
    const PairedCounts& counts, double confidence);

/// Smallest difference of paired shares that so many pairs find with the
/// aimed power, when as many disagree as did. NaN when even 1 is not enough.
[[nodiscard]] double detectable_share(const PairedCounts& counts,
                                      const TestAim& aim);

/// Pairs it takes to find `difference` when as many disagree; NaN when more
/// than all would have to, or nothing is asked (0).
[[nodiscard]] double share_pairs_needed(const PairedCounts& counts,
                                        double difference,
                                        const TestAim& aim);

}  // namespace evenfeed
