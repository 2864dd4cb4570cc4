// SPDX-License-Identifier: MIT
#include "charts/mewma_run_length.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <algorithm>
#include <cmath>
#include <numbers>

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

// The region a^2 + r^2 < radius^2 as columns of r at values of a; one column,
// r = 0, for a single characteristic.
struct Region {
  Region(int p, double radius, int columns, int across) {
    const Quadrature angle =
        gauss_legendre(columns, -std::numbers::pi / 2, std::numbers::pi / 2);
    const Quadrature share = gauss_legendre(across, 0, 1);
    for (int i = 0; i < columns; ++i) {
      const auto k = static_cast<std::size_t>(i);
      a.push_back(radius * std::sin(angle.nodes[k]));
      const double height = radius * std::cos(angle.nodes[k]);
      a_weight.push_back(height * angle.weights[k]);
      for (std::size_t m = 0; m < share.nodes.size(); ++m) {
        r.push_back(height * share.nodes[m]);
        r_weight.push_back(height * share.weights[m]);
        if (p > 1) continue;
        r.back() = 0;
        r_weight.back() = 1;
        break;
      }
    }
    per_column = r.size() / a.size();
  }
  std::vector<double> a, a_weight;  // per column
  std::vector<double> r, r_weight;  // column by column
  std::size_t per_column = 1;
};

// Weighted densities of the next r (columns) given this one (rows); the last
// row is for the start at 0. They do not depend on the shift.
Eigen::MatrixXd radial_steps(int p, double lambda, const Region& region) {
  const auto n = static_cast<Eigen::Index>(region.r.size());
  if (p == 1) return Eigen::MatrixXd::Ones(n + 1, n);
  Eigen::MatrixXd steps(n + 1, n);
  // Columns come in pairs +-a of equal height, so the first half repeats.
  const auto mirrored = [&](Eigen::Index i) {
    const auto m = static_cast<Eigen::Index>(region.per_column);
    const Eigen::Index column = i / m;
    const auto columns = static_cast<Eigen::Index>(region.a.size());
    return std::min(column, columns - 1 - column) * m + i % m;
  };
  for (Eigen::Index i = 0; i <= n; ++i) {
    if (i < n && mirrored(i) != i) {
      steps.row(i) = steps.row(mirrored(i));
      continue;
    }
    const double from = i < n ? region.r[static_cast<std::size_t>(i)] : 0;
    for (Eigen::Index j = 0; j < n; ++j) {
      const auto k = static_cast<std::size_t>(j);
      steps(i, j) =
          mirrored(j) != j
              ? steps(i, mirrored(j))
              : region.r_weight[k] *
                    next_length_density(p - 1, lambda, from, region.r[k]);
    }
  }
  return steps;
}

double shifted_run_length(double lambda,
                          const Region& region,
                          const Eigen::MatrixXd& radial,
                          double shift) {
  const auto n = static_cast<Eigen::Index>(region.r.size());
  Eigen::MatrixXd steps = radial;
  for (Eigen::Index i = 0; i <= n; ++i) {
    const double a =
        i < n ? region.a[static_cast<std::size_t>(i) / region.per_column] : 0;
    for (std::size_t c = 0; c < region.a.size(); ++c) {
      const double along =
          region.a_weight[c] *
          normal_density((region.a[c] - (1 - lambda) * a) / lambda - shift) /
          lambda;
      const auto m = static_cast<Eigen::Index>(region.per_column);
      steps.block(i, static_cast<Eigen::Index>(c) * m, 1, m) *= along;
    }
  }
  const Eigen::MatrixXd system =
      Eigen::MatrixXd::Identity(n, n) - steps.topRows(n);
  const Eigen::VectorXd lengths =
      system.partialPivLu().solve(Eigen::VectorXd::Ones(n));
  return 1 + steps.row(n).dot(lengths);
}

}  // namespace

std::vector<double> mewma_run_lengths(int p,
                                      double lambda,
                                      double limit,
                                      const std::vector<double>& shifts) {
  require(p >= 1, "a chart needs at least one characteristic");
  require_in_range(lambda, 0.01, 1, "mewma lambda");
  require_positive(limit, "mewma limit");
  const double radius = std::sqrt(limit * lambda / (2 - lambda));
  // A step is lambda wide.
  const int across =
      std::clamp(static_cast<int>(1.6 * radius / lambda) + 2, 12, 24);
  const Region region(p, radius, 3 * across, across);
  const Eigen::MatrixXd radial = radial_steps(p, lambda, region);
  std::vector<double> lengths;
  for (const double shift : shifts) {
    require_finite(shift, "shift");
    lengths.push_back(shifted_run_length(lambda, region, radial, shift));
  }
  return lengths;
}

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
