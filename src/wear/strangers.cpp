// SPDX-License-Identifier: MIT
#include "wear/strangers.h"

#include "stats/descriptive.h"
#include "stats/segmented_trend.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace evenfeed {

std::vector<int> strangers(const std::vector<TrendPoint>& points) {
  constexpr double kFar = 6;  // robust sd
  constexpr std::size_t kFewest = 8;
  if (points.size() < kFewest) return {};
  std::vector<double> x;
  std::vector<double> y;
  std::vector<int> levels;
  std::map<int, std::vector<double>> of_level;
  for (const TrendPoint& one : points) {
    x.push_back(one.kilofeeds);
    y.push_back(one.value);
    levels.push_back(one.level);
  }
  const SegmentedTrend line = segmented_trend(x, y, levels, 0.95);
  const double slope = line.ok ? line.slope : 0;
  for (const TrendPoint& one : points) {
    of_level[one.level].push_back(one.value - slope * one.kilofeeds);
  }
  std::vector<double> rest;
  std::vector<double> sizes;
  for (const TrendPoint& one : points) {
    rest.push_back(one.value - slope * one.kilofeeds -
                   median(of_level[one.level]));
    sizes.push_back(std::abs(rest.back()));
  }
  constexpr double kMadToSd = 1.4826;  // of normal values
  const double far = kFar * kMadToSd * median(sizes);
  const auto away = [&](std::size_t i, double sign) {
    return i < rest.size() && sign * rest[i] > far;
  };
  std::vector<int> found;
  for (std::size_t i = 0; far > 0 && i < rest.size(); ++i) {
    const double sign = rest[i] < 0 ? -1 : 1;
    if (away(i, sign) && !away(i + 1, sign) && !(i > 0 && away(i - 1, sign))) {
      found.push_back(static_cast<int>(i));
    }
  }
  return found;
}

}  // namespace evenfeed
