// SPDX-License-Identifier: MIT
#include "charts/mewma_run_length.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <cmath>

#include <Eigen/LU>

namespace evenfeed {
namespace {

// Density of the next length s, given this length r.
double next_length_density(int p, double lambda, double r, double s) {
  const double pull = (1 - lambda) * r / lambda;
  const double scaled = s / lambda;
  return 2 * scaled / lambda *
         noncentral_chi_squared_density(scaled * scaled, p, pull * pull);
}

}  // namespace

double mewma_run_length(int p, double lambda, double limit) {
  require(p >= 1, "a chart needs at least one characteristic");
  require_in_range(lambda, 0.01, 1, "mewma lambda");
  require_positive(limit, "mewma limit");
  constexpr int kNodes = 40;
  const double reach = std::sqrt(limit * lambda / (2 - lambda));
  const Quadrature rule = gauss_legendre(kNodes, 0, reach);
  Eigen::MatrixXd system = Eigen::MatrixXd::Identity(kNodes, kNodes);
  Eigen::VectorXd from_zero(kNodes);
  for (int j = 0; j < kNodes; ++j) {
    const double s = rule.nodes[static_cast<std::size_t>(j)];
    const double weight = rule.weights[static_cast<std::size_t>(j)];
    from_zero(j) = weight * next_length_density(p, lambda, 0, s);
    for (int i = 0; i < kNodes; ++i) {
      const double r = rule.nodes[static_cast<std::size_t>(i)];
      system(i, j) -= weight * next_length_density(p, lambda, r, s);
    }
  }
  const Eigen::VectorXd run_lengths =
      system.partialPivLu().solve(Eigen::VectorXd::Ones(kNodes));
  return 1 + from_zero.dot(run_lengths);
}

double mewma_limit(int p, double lambda, double run_length) {
  static DesignCache cache;
  return cache.find({static_cast<double>(p), lambda, run_length}, [&] {
    const double known = chi_squared_upper(1 / run_length, p);
    // Smoothed values rarely cross even the line of unsmoothed ones; the
    // limit is below it for every lambda (equal for lambda = 1).
    return find_limit([&](double h) { return mewma_run_length(p, lambda, h); },
                      run_length,
                      0.05 * known,
                      1.05 * known);
  });
}

}  // namespace evenfeed
