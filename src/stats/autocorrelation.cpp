// SPDX-License-Identifier: MIT
#include "stats/autocorrelation.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {

double lag1_autocorrelation(std::span<const double> values) {
  const std::vector<double> known = finite_only(values);
  if (known.size() < 3) return std::numeric_limits<double>::quiet_NaN();
  const double centre = mean(known);
  double products = 0;
  double squares = 0;
  std::size_t pairs = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    squares += (values[i] - centre) * (values[i] - centre);
    if (i + 1 >= values.size() || !std::isfinite(values[i + 1])) continue;
    products += (values[i] - centre) * (values[i + 1] - centre);
    ++pairs;
  }
  if (!(squares > 0) || pairs == 0) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  const double scale =
      static_cast<double>(known.size() - 1) / static_cast<double>(pairs);
  return scale * products / squares;
}

double credible_autocorrelation(double r, int n, double quantile) {
  if (!std::isfinite(r) || n < 3) return 0;
  return r > quantile / std::sqrt(static_cast<double>(n)) ? std::min(r, 0.9)
                                                          : 0;
}

double variance_inflation(double lag1) { return (1 + lag1) / (1 - lag1); }

double error_inflation(double lag1) {
  return std::sqrt(variance_inflation(lag1));
}

}  // namespace evenfeed
