// SPDX-License-Identifier: MIT
#include "charts/guaranteed_width.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "charts/ewma_run_length.h"
#include "charts/individuals_run_length.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <cmath>
#include <functional>
#include <vector>

namespace evenfeed {
namespace {

constexpr int kEstimateNodes = 24;
constexpr double kFarthest = 5;  // of |z|; what lies beyond weighs 6e-7

void check_arguments(double run_length, int n, double confidence) {
  require_in_range(run_length, 2, 1e9, "run_length");
  require(n >= 2, "a baseline of fewer than two values");
  require_probability(confidence, "guarantee");
}

// The width at which baselines of n values keep what `needed`, the width under
// a shift of the mean, asks for.
double width_for(const std::function<double(double)>& needed,
                 int n,
                 double confidence) {
  const Quadrature rule = gauss_legendre(kEstimateNodes, 0, kFarthest);
  std::vector<double> widths;
  for (const double z : rule.nodes) widths.push_back(needed(z / std::sqrt(n)));
  const auto kept = [&](double width) {
    double sum = 0;
    for (std::size_t i = 0; i < widths.size(); ++i) {
      const double ratio = widths[i] / width;
      sum += rule.weights[i] * 2 * normal_density(rule.nodes[i]) *
             chi_squared_tail((n - 1) * ratio * ratio, n - 1);
    }
    return sum;
  };
  double low = 0.1 * widths.front();
  double high = widths.back();
  while (kept(high) < confidence) high *= 2;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2;
    (kept(middle) < confidence ? low : high) = middle;
  }
  return (low + high) / 2;
}

// The width around a centre that is off by `shift`.
double individuals_width_under(double run_length, double shift) {
  const double exact = individuals_width(run_length);
  if (shift <= 0) return exact;
  return find_limit(
      [&](double width) { return individuals_run_length(width, shift); },
      run_length,
      0.99 * exact,
      exact + shift + 0.01);
}

double ewma_width_under(double lambda, double run_length, double shift) {
  const double known = ewma_width(lambda, run_length, EwmaLimits::kFixed);
  if (shift <= 0) return known;
  const double settled_sd = std::sqrt(lambda / (2 - lambda));
  return find_limit(
      [&](double width) {
        return ewma_run_length(lambda, width, shift, EwmaLimits::kFixed);
      },
      run_length,
      0.99 * known,
      known + shift / settled_sd + 0.01);
}

}  // namespace

double guaranteed_individuals_width(double run_length,
                                    int n,
                                    double confidence) {
  check_arguments(run_length, n, confidence);
  static DesignCache cache;
  return cache.find({run_length, static_cast<double>(n), confidence}, [&] {
    return width_for(
        [&](double shift) {
          return individuals_width_under(run_length, shift);
        },
        n,
        confidence);
  });
}

double guaranteed_ewma_width(double lambda,
                             double run_length,
                             int n,
                             double confidence) {
  check_arguments(run_length, n, confidence);
  static DesignCache cache;
  return cache.find(
      {lambda, run_length, static_cast<double>(n), confidence}, [&] {
        const double fixed = width_for(
            [&](double shift) {
              return ewma_width_under(lambda, run_length, shift);
            },
            n,
            confidence);
        return fixed * ewma_width(lambda, run_length, EwmaLimits::kGrowing) /
               ewma_width(lambda, run_length, EwmaLimits::kFixed);
      });
}

double guaranteed_range_limit(double run_length, int n, double confidence) {
  check_arguments(run_length, n, confidence);
  // q is below this with probability 1 - confidence.
  const double small =
      std::sqrt(chi_squared_quantile(1 - confidence, n - 1) / (n - 1));
  return std::sqrt(2.0) * individuals_width(run_length) / small;
}

}  // namespace evenfeed
