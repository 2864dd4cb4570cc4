// SPDX-License-Identifier: MIT
#include "stats/descriptive.h"

#include "base/nan.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace evenfeed {
namespace {

constexpr double kMadFactor = 1.482602218505602;  // 1 / Phi^-1(3/4)

bool usable(std::span<const double> values) {
  return !values.empty() &&
         std::all_of(values.begin(), values.end(), [](double x) {
           return std::isfinite(x);
         });
}

// The k-th smallest, k from 1. Changes the order.
double kth_smallest(std::vector<double>& values, std::size_t k) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(k - 1);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace

std::vector<double> finite_only(std::span<const double> values) {
  std::vector<double> kept;
  std::copy_if(
      values.begin(), values.end(), std::back_inserter(kept), [](double x) {
        return std::isfinite(x);
      });
  return kept;
}

double mean(std::span<const double> values) {
  if (!usable(values)) return kNaN;
  return std::accumulate(values.begin(), values.end(), 0.0) /
         static_cast<double>(values.size());
}

double standard_deviation(std::span<const double> values) {
  if (!usable(values) || values.size() < 2) return kNaN;
  const double centre = mean(values);
  double sum = 0;
  for (const double x : values) sum += (x - centre) * (x - centre);
  return std::sqrt(sum / static_cast<double>(values.size() - 1));
}

double median(std::span<const double> values) {
  if (!usable(values)) return kNaN;
  std::vector<double> copy(values.begin(), values.end());
  const std::size_t n = copy.size();
  const double upper = kth_smallest(copy, n / 2 + 1);
  if (n % 2 == 1) return upper;
  const double lower = *std::max_element(
      copy.begin(), copy.begin() + static_cast<std::ptrdiff_t>(n / 2));
  return (lower + upper) / 2;
}

double median_absolute_deviation(std::span<const double> values) {
  if (!usable(values)) return kNaN;
  const double centre = median(values);
  std::vector<double> distance;
  distance.reserve(values.size());
  for (const double x : values) distance.push_back(std::abs(x - centre));
  return kMadFactor * median(distance);
}

}  // namespace evenfeed
