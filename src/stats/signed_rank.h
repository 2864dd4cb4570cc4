// SPDX-License-Identifier: MIT
// The signed-rank test of Wilcoxon (1945, Biometrics 1:80) on paired
// differences, the estimate of Hodges and Lehmann (1963, Ann. Math. Stat.
// 34:598) that belongs to it, and how far a hidden cause could bend it
// (Rosenbaum 2002, Observational Studies, 4.3.3).
#pragma once

#include "stats/interval.h"

#include <span>
#include <vector>

namespace evenfeed {

/// Differences that are not finite break the contract (std::logic_error);
/// zeros are left out, ties share their mean rank. ok = false when nothing is
/// left.
struct SignedRank {
  bool ok = false;
  int n = 0;                  ///< differences that are not zero
  double positive = 0;        ///< V: sum of the ranks of positive differences
  std::vector<double> ranks;  ///< of all of them, ascending
};
[[nodiscard]] SignedRank signed_rank(std::span<const double> differences);

/// Two-sided p. Each rank is positive with chance odds / (1 + odds) at most:
/// odds = 1 is the plain test; above 1 the largest p that a hidden cause can
/// make which multiplies the odds within a pair by so much. Exact (by
/// convolution, ties and all) up to 200 differences, normal beyond.
double signed_rank_p(const SignedRank& test, double odds = 1);

/// Median of the means of all pairs of differences (each with itself too),
/// and its interval by inverting the test: exact quantile up to 50
/// differences without ties, normal beyond. NaN for an empty input, an
/// infinite interval when so few differences cannot reach the confidence.
struct HodgesLehmann {
  double estimate = 0;
  Interval interval;
};
[[nodiscard]] HodgesLehmann hodges_lehmann(std::span<const double> differences,
                                           double confidence);

}  // namespace evenfeed
