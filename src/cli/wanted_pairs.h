// SPDX-License-Identifier: MIT
// Which matched pairs are wanted: rows of the pairs.csv that 'pair' wrote, or
// two feeds by their numbers.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

/// Feeds of two samples that got the same feed.
struct WantedPair {
  int a = 0;
  int b = 0;
};

/// `words`: "3" is the third pair of `file`, "12+21" two feeds; none: the
/// closest three of `file`. `file` may be empty when all are said by feeds;
/// else those must be a pair in it. Throws UsageError for what is no pair,
/// InputError for pairs that `file` does not have.
[[nodiscard]] std::vector<WantedPair> wanted_pairs(
    const std::filesystem::path& file, const std::vector<std::string>& words);

}  // namespace evenfeed
