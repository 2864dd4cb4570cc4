// SPDX-License-Identifier: MIT
#include "stats/segmented_trend.h"

#include "base/check.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/trend.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace evenfeed {
namespace {

constexpr std::size_t kMostSlopes = 400000;

struct Stretch {
  std::vector<double> t;
  std::vector<double> y;
};

bool has_ties(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return std::adjacent_find(values.begin(), values.end()) != values.end();
}

std::vector<Stretch> stretches_of(std::span<const double> t,
                                  std::span<const double> y,
                                  std::span<const int> segment) {
  std::map<int, Stretch> by_name;
  for (std::size_t i = 0; i < t.size(); ++i) {
    Stretch& one = by_name[segment.empty() ? 0 : segment[i]];
    one.t.push_back(t[i]);
    one.y.push_back(y[i]);
  }
  std::vector<Stretch> stretches;
  for (auto& [name, one] : by_name) stretches.push_back(std::move(one));
  return stretches;
}

// Counts S, and takes every `every`-th slope.
void count_pairs(const Stretch& one,
                 std::size_t every,
                 SegmentedTrend& fit,
                 std::vector<double>& slopes) {
  for (std::size_t i = 0; i < one.t.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const double dt = one.t[i] - one.t[j];
      if (dt == 0) continue;
      const double dy = (one.y[i] - one.y[j]) * (dt > 0 ? 1 : -1);
      fit.s += (dy > 0) - (dy < 0);
      if (static_cast<std::size_t>(fit.pairs++) % every == 0) {
        slopes.push_back(dy / std::abs(dt));
      }
    }
  }
}

double trend_probability(const SegmentedTrend& fit,
                         const std::vector<Stretch>& stretches) {
  const Stretch& first = stretches.front();
  const auto n = first.t.size();
  if (stretches.size() == 1 && n <= 10 && !has_ties(first.t) &&
      !has_ties(first.y)) {
    const int s = static_cast<int>(std::abs(fit.s));
    return s == 0 ? 1 : std::min(1.0, 2 * kendall_tail(static_cast<int>(n), s));
  }
  return 2 * normal_cdf(-std::abs(fit.z));
}

}  // namespace

double kendall_tail(int n, int s) {
  require(n >= 2 && n <= 30, "the exact law of S is for 2 to 30 values");
  const int most = n * (n - 1) / 2;
  // Share of the orders with so many inversions; S = most - 2 inversions.
  std::vector<double> share(static_cast<std::size_t>(most) + 1, 0.0);
  share[0] = 1;
  for (int m = 2; m <= n; ++m) {
    std::vector<double> next(share.size(), 0.0);
    for (std::size_t k = 0; k < share.size(); ++k) {
      for (std::size_t more = 0;
           more < static_cast<std::size_t>(m) && k + more < share.size();
           ++more) {
        next[k + more] += share[k] / m;
      }
    }
    share = std::move(next);
  }
  double tail = 0;
  for (int inversions = 0; inversions <= most; ++inversions) {
    if (most - 2 * inversions >= s) {
      tail += share[static_cast<std::size_t>(inversions)];
    }
  }
  return tail;
}

SegmentedTrend segmented_trend(std::span<const double> t,
                               std::span<const double> y,
                               std::span<const int> segment,
                               double confidence) {
  require(
      t.size() == y.size() && (segment.empty() || segment.size() == t.size()),
      "times, values and stretches differ in number");
  require(confidence > 0 && confidence < 1,
          "the confidence of an interval lies between 0 and 1");
  SegmentedTrend fit;
  const auto finite = [](std::span<const double> values) {
    return std::all_of(values.begin(), values.end(), [](double x) {
      return std::isfinite(x);
    });
  };
  if (!finite(t) || !finite(y)) return fit;
  const auto stretches = stretches_of(t, y, segment);
  std::size_t pairs = 0;
  for (const Stretch& one : stretches) {
    pairs += one.t.size() * (one.t.size() - 1) / 2;
  }
  if (pairs < 3) return fit;
  const std::size_t every = pairs / kMostSlopes + 1;
  std::vector<double> slopes;
  for (const Stretch& one : stretches) {
    count_pairs(one, every, fit, slopes);
    fit.variance += kendall_variance(one.y);
  }
  if (slopes.empty()) return fit;
  if (fit.variance > 0) {
    const double sign = (fit.s > 0) - (fit.s < 0);
    fit.z = (fit.s - sign) / std::sqrt(fit.variance);
    fit.probability = trend_probability(fit, stretches);
  }
  std::sort(slopes.begin(), slopes.end());
  fit.slope = median(slopes);
  // Ranks among all pairs, as shares, so that they hold for a choice of them.
  const double count = fit.pairs;
  const double half =
      normal_quantile((1 + confidence) / 2) * std::sqrt(fit.variance);
  const double taken = static_cast<double>(slopes.size()) / count;
  fit.slope_low = value_at_rank(slopes, taken * (count - half) / 2);
  fit.slope_high = value_at_rank(slopes, taken * ((count + half) / 2) + 1);
  fit.ok = true;
  return fit;
}

}  // namespace evenfeed
