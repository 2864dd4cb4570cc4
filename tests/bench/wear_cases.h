// SPDX-License-Identifier: MIT
// The launchers that 'wear_rates' judges: what wears, and what else moves
// their sessions.
#pragma once

#include "simulate/weeks.h"
#include "wear/wear.h"

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace evenfeed {

struct Case {
  std::string name;
  std::function<void(WeeksScenario&)> change;
  /// What every session's values get on top, when all are known.
  std::function<void(WearHistory&, std::uint64_t seed)> disturb = {};
  int shared_by = 1;  ///< sessions of a set-up
  double own = 0;     ///< scatter of these, in set-up sd
};

std::vector<Case> wear_cases();

/// Feed-to-feed scatter and so many times that from set-up to set-up.
WeeksScenario steady(double setup_over_spread);

}  // namespace evenfeed
