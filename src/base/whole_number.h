// SPDX-License-Identifier: MIT
// Whole numbers out of files. CSV and JSON know numbers only, and casting what
// an int cannot hold (1e300, 2.5e9) is undefined.
#pragma once

#include <cmath>
#include <optional>

namespace evenfeed {

/// Beyond it a count or a feed's number is a mistake.
inline constexpr int kLargestWhole = 1'000'000'000;

/// nullopt for anything but a whole number of at most kLargestWhole in size.
[[nodiscard]] inline std::optional<int> whole_number(double value) {
  if (!(std::abs(value) <= kLargestWhole)) return std::nullopt;
  if (value != std::floor(value)) return std::nullopt;
  return static_cast<int>(value);
}

}  // namespace evenfeed
