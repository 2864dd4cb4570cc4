// SPDX-License-Identifier: MIT
#include "film/stamp_grid.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

constexpr std::size_t kFewest = 20;
// Rounding moves a stamp by half a tick, cutting off by one: the latter too is
// half a tick about its mean. The rest is for what least squares leave.
constexpr double kMostOff_ticks = 0.6;

// The mean of the steps that are about the usual one, so that dropped frames
// do not count; off by two ticks in all of them together.
double usual_step(const std::vector<std::int64_t>& stamps) {
  std::vector<std::int64_t> steps;
  for (std::size_t i = 1; i < stamps.size(); ++i) {
    steps.push_back(stamps[i] - stamps[i - 1]);
  }
  std::vector<std::int64_t> sorted = steps;
  const auto middle =
      sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
  std::nth_element(sorted.begin(), middle, sorted.end());
  double sum = 0;
  int count = 0;
  for (const std::int64_t step : steps) {
    if (std::abs(step - *middle) > 1) continue;
    sum += static_cast<double>(step);
    ++count;
  }
  return sum / count;
}

}  // namespace

double StampGrid::nearest(std::int64_t ticks) const {
  return first + std::round((static_cast<double>(ticks) - first) / step) * step;
}

std::optional<StampGrid> regular_grid(std::vector<std::int64_t> stamps) {
  std::sort(stamps.begin(), stamps.end());
  stamps.erase(std::unique(stamps.begin(), stamps.end()), stamps.end());
  if (stamps.size() < kFewest) return std::nullopt;
  const double step = usual_step(stamps);
  // Numbered step by step: an error of the step must not add up over a film.
  std::vector<double> numbers{0};
  for (std::size_t i = 1; i < stamps.size(); ++i) {
    const double steps =
        std::round(static_cast<double>(stamps[i] - stamps[i - 1]) / step);
    if (steps < 1) return std::nullopt;
    numbers.push_back(numbers.back() + steps);
  }
  const auto n = static_cast<double>(stamps.size());
  double mean_number = 0;
  double mean_ticks = 0;  // after the first, to keep the digits
  const auto after_first = [&](std::size_t i) {
    return static_cast<double>(stamps[i] - stamps[0]);
  };
  for (std::size_t i = 0; i < stamps.size(); ++i) {
    mean_number += numbers[i] / n;
    mean_ticks += after_first(i) / n;
  }
  double squares = 0;
  double products = 0;
  for (std::size_t i = 0; i < stamps.size(); ++i) {
    const double number = numbers[i] - mean_number;
    squares += number * number;
    products += number * (after_first(i) - mean_ticks);
  }
  StampGrid grid;
  grid.step = products / squares;
  const double first = mean_ticks - grid.step * mean_number;
  for (std::size_t i = 0; i < stamps.size(); ++i) {
    const double off = after_first(i) - (first + grid.step * numbers[i]);
    if (std::abs(off) > kMostOff_ticks) return std::nullopt;
  }
  grid.first = first + static_cast<double>(stamps[0]);
  return grid;
}

}  // namespace evenfeed
