// SPDX-License-Identifier: MIT
#include "charts/spread_ewma.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <cmath>
#include <numbers>

#include <Eigen/LU>

namespace evenfeed {
namespace {

constexpr int kTerms = 40;
constexpr int kSpreadNodes = 80;

// T_0..T_{kTerms-1} at t in [-1, 1].
Eigen::RowVectorXd chebyshev(double t) {
  Eigen::RowVectorXd terms(kTerms);
  terms(0) = 1;
  terms(1) = t;
  for (int j = 2; j < kTerms; ++j) {
    terms(j) = 2 * t * terms(j - 1) - terms(j - 2);
  }
  return terms;
}

// Density of the root x of a chi-squared value with `degrees`.
double chi_density(double x, int degrees) {
  const double half = degrees / 2.0;
  if (degrees == 1) return 2 * normal_density(x);
  return std::exp((degrees - 1) * std::log(x) - x * x / 2 -
                  (half - 1) * std::numbers::ln2 - std::lgamma(half));
}

// Integral of the terms over the next statistic, given this one at z.
Eigen::RowVectorXd carried_terms(const SpreadEwmaDesign& design,
                                 double z,
                                 double ratio) {
  const double limit = design.limit();
  const double kept = (1 - design.lambda) * z;
  const double farthest =
      std::sqrt((limit - kept) * design.degrees / design.lambda) / ratio;
  // Beyond, the density is nothing.
  const double reach =
      std::min(farthest, std::sqrt(static_cast<double>(design.degrees)) + 9);
  const Quadrature rule = gauss_legendre(kSpreadNodes, 0, reach);
  Eigen::RowVectorXd sum = Eigen::RowVectorXd::Zero(kTerms);
  for (std::size_t k = 0; k < rule.nodes.size(); ++k) {
    const double x = rule.nodes[k];
    const double next =
        kept + design.lambda * ratio * ratio * x * x / design.degrees;
    sum += rule.weights[k] * chi_density(x, design.degrees) *
           chebyshev(2 * next / limit - 1);
  }
  return sum;
}

}  // namespace

void SpreadEwmaDesign::check() const {
  require_in_range(lambda, 0.01, 1, "spread ewma lambda");
  require_positive(width, "spread ewma width");
  require_in_range(degrees, 1, 100, "spread ewma degrees of freedom");
}

double SpreadEwmaDesign::limit() const {
  return 1 + width * std::sqrt(lambda / (2 - lambda) * 2 / degrees);
}

SpreadEwmaChart::SpreadEwmaChart(const SpreadEwmaDesign& design)
    : design_(design) {
  design_.check();
  last_.value = 1;
  last_.upper = design_.limit();
}

SpreadEwmaPoint SpreadEwmaChart::add(double q) {
  if (!std::isfinite(q)) {
    SpreadEwmaPoint held = last_;
    held.signal = false;
    return held;
  }
  require(q >= 0, "a squared deviation below 0");
  last_.value =
      design_.lambda * q / design_.degrees + (1 - design_.lambda) * last_.value;
  last_.signal = last_.value > last_.upper;
  return last_;
}

double spread_ewma_run_length(const SpreadEwmaDesign& design, double ratio) {
  design.check();
  require_positive(ratio, "ratio of spreads");
  const double limit = design.limit();
  Eigen::MatrixXd system(kTerms, kTerms);
  for (int i = 0; i < kTerms; ++i) {
    const double t = std::cos((2 * i + 1) * std::numbers::pi / (2 * kTerms));
    const double z = limit * (t + 1) / 2;
    system.row(i) = chebyshev(t) - carried_terms(design, z, ratio);
  }
  const Eigen::VectorXd series =
      system.partialPivLu().solve(Eigen::VectorXd::Ones(kTerms));
  return chebyshev(2 / limit - 1).dot(series);
}

double spread_ewma_width(double lambda, int degrees, double run_length) {
  static DesignCache cache;
  return cache.find({lambda, static_cast<double>(degrees), run_length}, [&] {
    // The line of unsmoothed values; that of smoothed ones lies below it.
    const double unsmoothed =
        (chi_squared_upper(1 / run_length, degrees) / degrees - 1) *
        std::sqrt(degrees / 2.0);
    return find_limit(
        [&](double width) {
          return spread_ewma_run_length({lambda, width, degrees}, 1);
        },
        run_length,
        0.02,
        1.01 * unsmoothed);
  });
}

}  // namespace evenfeed
