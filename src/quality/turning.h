// SPDX-License-Identifier: MIT
// A mean that may turn is not at rest, however level it lies: a swing that the
// window shows (quality/swing.h), one that all feeds so far may be
// (quality/swing_or_rest.h), and a bend of the window that, if it went on,
// would carry the mean further than is allowed.
#pragma once

#include "quality/hold_back.h"

#include <optional>
#include <string>
#include <vector>

namespace evenfeed {

class CleanSeries;

/// Of what is a turn, and by how much a characteristic may.
struct TurnLimit {
  int characteristic = -1;
  std::string name;
  double most = 0;  ///< up and down, in the characteristic's unit
  double horizon_feeds = 0;
  double significance = 0;
};

/// `values` swing by more than the limit, at least so many periods of it.
[[nodiscard]] std::optional<HoldBack> swing_hold(
    const std::vector<double>& values,
    double fewest_periods,
    const TurnLimit& limit);

/// All feeds so far, `values`, may be a swing by more than the limit.
[[nodiscard]] std::optional<HoldBack> crest_hold(
    const std::vector<double>& values, const TurnLimit& limit);

/// Rows first..last bend by what may be chance, and by so much that going on
/// like this over the horizon the mean would leave the limit.
[[nodiscard]] std::optional<HoldBack> bend_hold(const CleanSeries& series,
                                                int first,
                                                int last,
                                                const TurnLimit& limit);

}  // namespace evenfeed
