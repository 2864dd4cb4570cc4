// SPDX-License-Identifier: MIT
// A comparison as drawings: what each trial gave, the difference with its
// interval, and whether the feeds were alike. They need no script.
#pragma once

#include "pairing/comparison.h"
#include "report/take_away.h"

#include <optional>
#include <set>
#include <string>
#include <string_view>

namespace evenfeed {

/// Every trial's outcome, a row per sample, full where it found a partner,
/// with the means. Nothing for yes/no, and where no value is known.
[[nodiscard]] std::optional<Drawing> trials_drawing(
    const Comparison& comparison, const Effect& effect);

/// The estimates of one difference with their intervals beside no difference.
[[nodiscard]] Drawing effect_drawing(const Comparison& comparison,
                                     const Effect& effect);

/// Differences of the feeds' means before and after matching.
[[nodiscard]] Drawing balance_drawing(const Comparison& comparison,
                                      const PairBalance& two);

/// The feeds of a sample that stand in a set, as indices of Sample::feeds.
[[nodiscard]] std::set<int> matched_feeds(const Comparison& comparison,
                                          int sample);

/// A drawing's name among those of a comparison of so many samples.
[[nodiscard]] std::string pair_file_name(const Comparison& comparison,
                                         std::string_view kind,
                                         const std::string& what,
                                         int a,
                                         int b);

}  // namespace evenfeed
