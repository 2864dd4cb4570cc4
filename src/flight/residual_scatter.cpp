// SPDX-License-Identifier: MIT
#include "flight/residual_scatter.h"

#include "stats/descriptive.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace evenfeed {
namespace {

constexpr double kEnough = 20;

// Beyond this a sighting is of something else than the ball: five times what
// is stated, or five times the usual where all scatter more than is stated.
double outlier_limit(const std::vector<std::vector<double>>& residuals) {
  constexpr double kOutlier = 5;
  constexpr double kRayleighMedian = 1.1774;  // sqrt(2 ln 2)
  std::vector<double> lengths;
  for (const std::vector<double>& r : residuals) {
    for (std::size_t j = 0; j + 1 < r.size(); j += 2) {
      lengths.push_back(std::hypot(r[j], r[j + 1]));
    }
  }
  if (lengths.empty()) return kOutlier;
  return kOutlier * std::max(1., median(lengths) / kRayleighMedian);
}

}  // namespace

ResidualScatter residual_scatter(
    const std::vector<std::vector<double>>& residuals, double freedom) {
  constexpr std::size_t kLags = 15;
  const double limit = outlier_limit(residuals);
  std::array<double, kLags + 1> products{};
  std::array<double, kLags + 1> counts{};
  double chi2 = 0;
  for (const std::vector<double>& r : residuals) {
    const auto off = [&](std::size_t j) {
      return std::hypot(r[j - j % 2], r[j - j % 2 + 1]) > limit;
    };
    for (std::size_t j = 0; j < r.size(); ++j) {
      if (off(j)) {
        freedom -= 1;
        continue;
      }
      chi2 += r[j] * r[j];
      for (std::size_t lag = 0; lag <= kLags && j + 2 * lag < r.size(); ++lag) {
        if (off(j + 2 * lag)) continue;
        products[lag] += r[j] * r[j + 2 * lag];
        ++counts[lag];
      }
    }
  }
  if (freedom < kEnough) return {};
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
