// SPDX-License-Identifier: MIT
// Whether matching made the feeds of two samples alike: standardised mean
// differences and ratios of spreads, before and after (Austin 2009, Statistics
// in Medicine 28:3083), and whether one sample lies outside the other.
#pragma once

#include "pairing/matched_sets.h"
#include "pairing/sample.h"

#include <string>
#include <vector>

namespace evenfeed {

struct BalanceRow {
  std::string characteristic;
  double mean_a_before = 0;
  double mean_b_before = 0;
  double mean_a_after = 0;
  double mean_b_after = 0;
  /// (mean a - mean b) / sqrt((var a + var b) / 2), both with the spread
  /// before matching, so that they can be compared. 0 when nothing varies.
  double smd_before = 0;
  double smd_after = 0;
  /// sd a / sd b; NaN when it is not known.
  double spread_ratio_before = 0;
  double spread_ratio_after = 0;
  /// Share of a's feeds outside the range of b's, and the other way round.
  double a_outside_b = 0;
  double b_outside_a = 0;
};

/// Samples `a` and `b` (places in `samples`); after matching, every set counts
/// once on both sides. NaN after matching without sets.
std::vector<BalanceRow> balance(const std::vector<Sample>& samples,
                                const Matching& matching,
                                int a,
                                int b);

}  // namespace evenfeed
