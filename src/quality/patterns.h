// SPDX-License-Identifier: MIT
// What charts of means do not show in feeds that are in control: that every
// second one differs, and that the spread has become smaller than the
// baseline's.
#pragma once

#include <vector>

namespace evenfeed {

struct Alternation {
  /// The means of odd and even feeds, beside a straight line, differ by more
  /// than chance allows (t test) and by more than the scatter within each.
  bool certain = false;
  double difference = 0;  ///< second, fourth, ... feeds less the others
};
/// Values of feeds that follow each other, NaN: not known. Nothing certain with
/// fewer than 8 on either side.
[[nodiscard]] Alternation find_alternation(const std::vector<double>& values,
                                           double significance);

struct SmallerSpread {
  /// The variance beside a straight line is smaller than chance allows (F
  /// test), and the sd by a quarter.
  bool certain = false;
  double now = 0;  ///< sd
};
/// `before`: sd of the baseline. Nothing certain with fewer than 20 values.
[[nodiscard]] SmallerSpread find_smaller_spread(
    double before,
    int degrees_before,
    const std::vector<double>& after,
    double significance);

}  // namespace evenfeed
