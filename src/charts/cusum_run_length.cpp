// SPDX-License-Identifier: MIT
#include "charts/cusum_run_length.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <algorithm>
#include <cmath>

#include <Eigen/LU>

namespace evenfeed {
namespace {

// Beyond this the equations are too ill-conditioned to be solved, and a side
// this long adds nothing to the two-sided run length.
constexpr double kEndless = 1e10;

struct OneSided {
  double from_zero = 0;
  double from_start = 0;
};

// Unknowns: L(0), then L at the nodes.
OneSided solve(double k, double h, double start, double shift) {
  // The density is one sd wide whatever h is.
  const int nodes = std::clamp(static_cast<int>(std::ceil(6 * h)), 24, 120);
  const Quadrature rule = gauss_legendre(nodes, 0, h);
  const auto row = [&](double u) {
    Eigen::VectorXd weights(nodes + 1);
    weights(0) = normal_cdf(k - u - shift);
    for (int j = 0; j < nodes; ++j) {
      const auto n = static_cast<std::size_t>(j);
      weights(j + 1) =
          rule.weights[n] * normal_density(rule.nodes[n] + k - u - shift);
    }
    return weights;
  };
  Eigen::MatrixXd system = Eigen::MatrixXd::Identity(nodes + 1, nodes + 1);
  system.row(0) -= row(0).transpose();
  for (int i = 0; i < nodes; ++i) {
    system.row(i + 1) -= row(rule.nodes[static_cast<std::size_t>(i)]);
  }
  const Eigen::VectorXd solution =
      system.partialPivLu().solve(Eigen::VectorXd::Ones(nodes + 1));
  const auto bounded = [](double length) {
    return length >= 1 && length < kEndless ? length : kEndless;
  };
  return {bounded(solution(0)), bounded(1 + row(start).dot(solution))};
}

}  // namespace

double cusum_run_length(const CusumDesign& design, double shift) {
  design.check();
  require_finite(shift, "shift");
  const double start = design.head_start * design.h;
  const OneSided up = solve(design.k, design.h, start, shift);
  const OneSided down = solve(design.k, design.h, start, -shift);
  // up / (up + down) and its like, so that endless sides do no harm.
  const double share = 1 / (up.from_zero + down.from_zero);
  return up.from_start * (down.from_zero * share) +
         down.from_start * (up.from_zero * share) -
         up.from_zero * (down.from_zero * share);
}

double cusum_limit(double k, double run_length, double head_start) {
  static DesignCache cache;
  return cache.find({k, run_length, head_start}, [&] {
    return find_limit(
        [&](double h) {
          return cusum_run_length({k, h, head_start}, 0);
        },
        run_length,
        0.05,
        // In control the sum's stationary tail falls as e^(-2 k y) or faster
        // than a walk's 1 / y.
        k > 0.1 ? 2 + std::log(run_length) / (2 * k)
                : 4 * std::sqrt(run_length) + 2);
  });
}

}  // namespace evenfeed
