// SPDX-License-Identifier: MIT
// Single sessions that would hide what all others show: another unit, another
// launcher.
#pragma once

#include "wear/session_trend.h"

#include <vector>

namespace evenfeed {

/// Indices of the sessions further than 6 robust sd from the robust trend of
/// their level. Two that follow each other may be a change, and the few of a
/// young launcher are no measure: none.
[[nodiscard]] std::vector<int> strangers(const std::vector<TrendPoint>& points);

}  // namespace evenfeed
