// SPDX-License-Identifier: MIT
// What a comparison cannot tell, in words, every time it applies: sheet and
// kind, properties that differ together, the order of the trials, too few
// pairs, feeds that do not overlap, readings that are too coarse.
#pragma once

#include "pairing/comparison.h"

#include <string>
#include <vector>

namespace evenfeed {

std::vector<std::string> find_caveats(
    const Comparison& comparison,
    const Outcomes& outcomes,
    const FeedDistance& distance,
    const std::optional<SampleSheet>& declared,
    int planned_pairs);

}  // namespace evenfeed
