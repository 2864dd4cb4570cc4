// SPDX-License-Identifier: MIT
#include "stats/trend.h"

#include "base/check.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace evenfeed {
namespace {

bool all_finite(std::span<const double> values) {
  return std::all_of(
      values.begin(), values.end(), [](double x) { return std::isfinite(x); });
}

bool usable(std::span<const double> t, std::span<const double> y) {
  require(t.size() == y.size(), "times and values differ in number");
  return t.size() >= 3 && all_finite(t) && all_finite(y);
}

}  // namespace

double kendall_variance(std::span<const double> y) {
  std::vector<double> sorted(y.begin(), y.end());
  std::sort(sorted.begin(), sorted.end());
  const auto term = [](double m) { return m * (m - 1) * (2 * m + 5); };
  double sum = term(static_cast<double>(sorted.size()));
  for (auto it = sorted.begin(); it != sorted.end();) {
    const auto end = std::upper_bound(it, sorted.end(), *it);
    sum -= term(static_cast<double>(end - it));
    it = end;
  }
  return sum / 18;
}

double value_at_rank(std::span<const double> sorted, double rank) {
  const double last = static_cast<double>(sorted.size());
  const double inside = std::clamp(rank, 1.0, last);
  const auto below = static_cast<std::size_t>(inside);
  const double part = inside - static_cast<double>(below);
  const double low = sorted[below - 1];
  return below < sorted.size() ? low + part * (sorted[below] - low) : low;
}

LinearTrend linear_trend(std::span<const double> t, std::span<const double> y) {
  LinearTrend fit;
  if (!usable(t, y)) return fit;
  const double mean_t = mean(t);
  const double mean_y = mean(y);
  double tt = 0;
  double ty = 0;
  for (std::size_t i = 0; i < t.size(); ++i) {
    tt += (t[i] - mean_t) * (t[i] - mean_t);
    ty += (t[i] - mean_t) * (y[i] - mean_y);
  }
  if (!(tt > 0)) return fit;
  fit.n = static_cast<int>(t.size());
  fit.slope = ty / tt;
  fit.intercept = mean_y - fit.slope * mean_t;
  double squares = 0;
  for (std::size_t i = 0; i < t.size(); ++i) {
    const double rest = y[i] - fit.intercept - fit.slope * t[i];
    squares += rest * rest;
  }
  fit.residual_sd = std::sqrt(squares / (fit.n - 2));
  fit.slope_se = fit.residual_sd / std::sqrt(tt);
  fit.ok = true;
  return fit;
}

TheilSen theil_sen(std::span<const double> t,
                   std::span<const double> y,
                   double confidence) {
  TheilSen fit;
  if (!usable(t, y)) return fit;
  std::vector<double> slopes;
  for (std::size_t i = 0; i < t.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (t[i] != t[j]) slopes.push_back((y[i] - y[j]) / (t[i] - t[j]));
    }
  }
  if (slopes.empty()) return fit;
  std::sort(slopes.begin(), slopes.end());
  fit.slope = median(slopes);
  fit.intercept = median(y) - fit.slope * median(t);
  const double half =
      normal_quantile((1 + confidence) / 2) * std::sqrt(kendall_variance(y));
  const auto count = static_cast<double>(slopes.size());
  fit.slope_low = value_at_rank(slopes, (count - half) / 2);
  fit.slope_high = value_at_rank(slopes, (count + half) / 2 + 1);
  fit.ok = true;
  return fit;
}

}  // namespace evenfeed
