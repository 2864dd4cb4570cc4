// SPDX-License-Identifier: MIT
#include "stats/bootstrap.h"

#include "base/check.h"
#include "base/random.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace evenfeed {
namespace {

double acceleration(int cases, const ResampledStatistic& statistic) {
  std::vector<double> without;
  std::vector<int> rest(static_cast<std::size_t>(cases) - 1);
  for (int left = 0; left < cases; ++left) {
    std::iota(rest.begin(), rest.begin() + left, 0);
    std::iota(rest.begin() + left, rest.end(), left + 1);
    const double value = statistic(rest);
    if (std::isfinite(value)) without.push_back(value);
  }
  const double centre = std::accumulate(without.begin(), without.end(), 0.0) /
                        static_cast<double>(without.size());
  double square = 0;
  double cube = 0;
  for (const double value : without) {
    square += std::pow(centre - value, 2);
    cube += std::pow(centre - value, 3);
  }
  return square > 0 ? cube / (6 * std::pow(square, 1.5)) : 0;
}

double at_share(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size()) - 0.5;
  const double last = static_cast<double>(sorted.size() - 1);
  const double inside = std::clamp(place, 0.0, last);
  const auto low = static_cast<std::size_t>(inside);
  const std::size_t high = std::min(low + 1, sorted.size() - 1);
  const double part = inside - static_cast<double>(low);
  return sorted[low] + part * (sorted[high] - sorted[low]);
}

}  // namespace

void BootstrapOptions::check() const {
  require_in_range(resamples, 100, 1000000, "bootstrap.resamples");
  require_in_range(confidence, 0.5, 0.9999, "bootstrap.confidence");
}

Interval bootstrap_interval(int cases,
                            const ResampledStatistic& statistic,
                            const BootstrapOptions& options) {
  options.check();
  if (cases < 3) return {};
  std::vector<int> indices(static_cast<std::size_t>(cases));
  std::iota(indices.begin(), indices.end(), 0);
  const double seen = statistic(indices);
  if (!std::isfinite(seen)) return {};

  RandomEngine random = derived_engine(options.seed, "bootstrap");
  std::uniform_int_distribution<int> draw(0, cases - 1);
  std::vector<double> values;
  for (int b = 0; b < options.resamples; ++b) {
    for (int& index : indices) index = draw(random);
    const double value = statistic(indices);
    if (std::isfinite(value)) values.push_back(value);
  }
  if (2 * values.size() < static_cast<std::size_t>(options.resamples)) {
    return {};
  }
  std::sort(values.begin(), values.end());
  if (values.front() == values.back()) return {values.front(), values.back()};

  // Ties with the value seen count half; never all or none.
  const auto count = static_cast<double>(values.size());
  const auto range = std::equal_range(values.begin(), values.end(), seen);
  const double below =
      0.5 * static_cast<double>((range.first - values.begin()) +
                                (range.second - values.begin()));
  const double bias =
      normal_quantile(std::clamp(below / count, 0.5 / count, 1 - 0.5 / count));
  const double accelerate = acceleration(cases, statistic);
  const auto moved = [&](double share) {
    const double z = bias + normal_quantile(share);
    return normal_cdf(bias + z / (1 - accelerate * z));
  };
  const double tail = (1 - options.confidence) / 2;
  return {at_share(values, moved(tail)), at_share(values, moved(1 - tail))};
}

}  // namespace evenfeed
