// SPDX-License-Identifier: MIT
#include "flight/residual_scatter.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace evenfeed {

ResidualScatter residual_scatter(
    const std::vector<std::vector<double>>& residuals, double freedom) {
  constexpr std::size_t kLags = 15;
  constexpr double kOutlier = 5;
  constexpr double kEnough = 20;
  if (freedom < kEnough) return {};
  std::array<double, kLags + 1> products{};
  std::array<double, kLags + 1> counts{};
  double chi2 = 0;
  for (const std::vector<double>& r : residuals) {
    for (const double one : r) chi2 += one * one;
    for (std::size_t lag = 0; lag <= kLags; ++lag) {
      for (std::size_t j = 0; j + 2 * lag < r.size(); ++j) {
        const double a = r[j];
        const double b = r[j + 2 * lag];
        if (std::max(std::abs(a), std::abs(b)) > kOutlier) continue;
        products[lag] += a * b;
        ++counts[lag];
      }
    }
  }
  ResidualScatter result;
  result.scatter = std::sqrt(chi2 / freedom);
  for (std::size_t lag = 1; lag <= kLags; ++lag) {
    const double r = products[lag] / counts[lag] / (products[0] / counts[0]);
    if (counts[lag] < kEnough || !(r > 0)) break;
    result.sightings_per_error += 2 * r;
  }
  return result;
}

}  // namespace evenfeed
