// SPDX-License-Identifier: MIT
// Success counts compared with each other, and told.
#pragma once

#include "stats/interval.h"

#include <cstddef>
#include <string>
#include <vector>

namespace evenfeed {

struct CountedShare {
  std::string counts;  ///< as it was given, "11/20"
  std::string name;    ///< empty: none was given
  double share = 0;
  Interval wilson;
  Interval exact;  ///< Clopper and Pearson
};

struct SharePair {
  std::size_t a = 0;  ///< among the shares
  std::size_t b = 0;
  double difference = 0;
  Interval interval;      ///< Newcombe
  double p = 1;           ///< Fisher's test
  double adjusted_p = 1;  ///< by Holm, over all pairs
  bool differ = false;
};

struct SharesCompared {
  double confidence = 0.95;
  std::vector<CountedShare> shares;
  std::vector<SharePair> pairs;  ///< every two
};

/// `counts` like "11/20". Throws UsageError for a count that is none, or names
/// that do not fit.
[[nodiscard]] SharesCompared compare_shares(
    const std::vector<std::string>& counts,
    const std::vector<std::string>& names,
    double confidence);

[[nodiscard]] std::string shares_words(const SharesCompared& compared);
[[nodiscard]] std::string shares_json(const SharesCompared& compared);

}  // namespace evenfeed
