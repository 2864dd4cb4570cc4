// SPDX-License-Identifier: MIT
#include "quality/patterns.h"

#include "quality/clean_series.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"

#include <cmath>

namespace evenfeed {

Alternation find_alternation(const std::vector<double>& values,
                             double significance) {
  constexpr std::size_t kFewest = 8;
  Alternation out;
  const CleanSeries series(values);
  const StretchFit line = series.fit(0, series.size() - 1);
  std::vector<double> sides[2];
  for (int i = 0; i < series.size(); ++i) {
    const double value = series.values()[static_cast<std::size_t>(i)];
    if (std::isfinite(value)) sides[i % 2].push_back(value - line.slope * i);
  }
  if (sides[0].size() < kFewest || sides[1].size() < kFewest) return out;
  const auto n0 = static_cast<double>(sides[0].size());
  const auto n1 = static_cast<double>(sides[1].size());
  out.difference = mean(sides[1]) - mean(sides[0]);
  const double within =
      std::sqrt(((n0 - 1) * std::pow(standard_deviation(sides[0]), 2) +
                 (n1 - 1) * std::pow(standard_deviation(sides[1]), 2)) /
                (n0 + n1 - 2));
  const double limit = student_t_quantile(1 - significance / 2, n0 + n1 - 2) *
                       within * std::sqrt(1 / n0 + 1 / n1);
  out.certain = std::abs(out.difference) > std::max(limit, within);
  return out;
}

SmallerSpread find_smaller_spread(double before,
                                  int degrees_before,
                                  const std::vector<double>& after,
                                  double significance) {
  constexpr int kFewest = 20;
  constexpr double kMatters = 0.75;
  SmallerSpread out;
  const CleanSeries series(after);
  const StretchFit line = series.fit(0, series.size() - 1);
  if (line.n < kFewest || degrees_before < 1 || !(line.residual_sd > 0)) {
    return out;
  }
  out.now = line.residual_sd;
  out.certain = out.now < kMatters * before &&
                std::pow(before / out.now, 2) >
                    f_upper(significance, degrees_before, line.n - 2);
  return out;
}

}  // namespace evenfeed
