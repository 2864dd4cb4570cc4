// SPDX-License-Identifier: MIT
// Could all feeds so far be a swing that stands at a crest just now? A window
// at a crest shows neither slope nor bend, and the way up to it looks like a
// settling: only the feeds before tell them apart. Two accounts of the whole
// history are compared by least squares:
//   swing  a + b cos(2 pi i / P) + c sin(2 pi i / P),  P from 12 to 100 feeds
//   rest   a0 before feed k, then a + b e^(-(i - k)/tau), tau from 0 (a step)
//          to 30 feeds
// A swing that explains more than chance does is possible for as long as the
// best rest does not explain the feeds better by more than chi-squared (95 %)
// of the two unknowns it has more: n ln(S_swing / S_rest), both that and the F
// of the swing divided by (1 + r)/(1 - r) for the lag-1 autocorrelation r >= 0
// of what the better of the two leaves.
#pragma once

#include "quality/swing.h"

#include <vector>

namespace evenfeed {

/// `values` in order of time, NaN: not known. Certain: such a swing is more
/// than chance, and the feeds do not speak for a launcher that has come to rest
/// instead. Nothing certain with fewer than 16 that are known.
[[nodiscard]] Swing find_possible_swing(const std::vector<double>& values,
                                        double significance);

}  // namespace evenfeed
