// SPDX-License-Identifier: MIT
// Does a characteristic go up and down with a period? The periodogram of
// unevenly known values with a straight line fitted beside each sine (least
// squares spectral analysis: Lomb 1976, Astrophys. Space Sci. 39:447; a mean
// and more beside it: Zechmeister and Kuerster 2009, A&A 496:577). For every
// frequency from `fewest_periods` in all values to one period in six feeds
//   F = (S_line - S_sine) / 2 / (S_sine / (n - 4)),
// divided by (1 + r)/(1 - r) for the lag-1 autocorrelation r >= 0 of what
// remains beside the best sine, less its bias. The
// probability is that of the largest F times the number of frequencies tried
// (Bonferroni).
#pragma once

#include <limits>
#include <vector>

namespace evenfeed {

struct Swing {
  /// A sine explains more than chance does; else the rest is not to be used.
  bool certain = false;
  double period = std::numeric_limits<double>::quiet_NaN();  ///< feeds
  double amplitude = 0;    ///< half of the way from crest to trough
  double probability = 1;  ///< of such a sine by chance
};

/// `values` in order of time, NaN: not known. Nothing certain with fewer than
/// 16 that are known.
[[nodiscard]] Swing find_swing(const std::vector<double>& values,
                               double fewest_periods,
                               double significance);

}  // namespace evenfeed
