// SPDX-License-Identifier: MIT
#include "pairing/sensitivity.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kMostOdds = 1000;

template <typename P>
double largest_odds(const P& p_at, double alpha) {
  if (p_at(1) > alpha) return kNan;
  if (p_at(kMostOdds) <= alpha) return kMostOdds;
  double low = 1;
  double high = kMostOdds;
  while (high - low > 1e-4 * low) {
    const double middle = std::sqrt(low * high);
    (p_at(middle) <= alpha ? low : high) = middle;
  }
  return low;
}

}  // namespace

double sensitivity_gamma(const SignedRank& ranks, double alpha) {
  return largest_odds([&](double odds) { return signed_rank_p(ranks, odds); },
                      alpha);
}

double sensitivity_gamma(const PairedCounts& counts, double alpha) {
  return largest_odds(
      [&](double odds) { return mcnemar_exact_p(counts, odds); }, alpha);
}

double detectable_share(const PairedCounts& counts, const TestAim& aim) {
  const int n = counts.pairs();
  if (n == 0) return kNan;
  const double seen = static_cast<double>(counts.only_a + counts.only_b) / n;
  const auto needed = [&](double difference) {
    return mcnemar_size(std::max(seen, difference), difference, aim);
  };
  if (needed(1) > n) return kNan;
  double low = 0;
  double high = 1;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (needed(middle) > n ? low : high) = middle;
  }
  return high;
}

}  // namespace evenfeed
