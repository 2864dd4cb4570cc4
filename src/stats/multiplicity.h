// SPDX-License-Identifier: MIT
// Several tests at once.
#pragma once

#include <span>
#include <vector>

namespace evenfeed {

/// p values adjusted by Holm (1979, Scand. J. Stat. 6:65): the i-th smallest
/// times the number of tests from it on, never below the one before, at most
/// 1. The chance of any false rejection keeps the level. NaN stays NaN and
/// does not count as a test; a value outside 0 to 1 throws std::logic_error.
[[nodiscard]] std::vector<double> holm_adjusted(std::span<const double> p);

}  // namespace evenfeed
