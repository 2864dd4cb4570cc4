// SPDX-License-Identifier: MIT
#include "charts/ewma_run_length.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "stats/distributions.h"
#include "stats/quadrature.h"

#include <cmath>

#include <Eigen/LU>

namespace evenfeed {
namespace {

constexpr int kStateNodes = 60;

// Density of the next statistic at y, given this one at u.
struct Step {
  double lambda;
  double shift;
  double operator()(double u, double y) const {
    return normal_density((y - (1 - lambda) * u) / lambda - shift) / lambda;
  }
};

// Run lengths with fixed limits, as a function of the present statistic.
class FixedLimits {
 public:
  FixedLimits(const Step& step, double half)
      : step_(step), rule_(gauss_legendre(kStateNodes, -half, half)) {
    Eigen::MatrixXd system =
        Eigen::MatrixXd::Identity(kStateNodes, kStateNodes);
    for (int i = 0; i < kStateNodes; ++i) {
      for (int j = 0; j < kStateNodes; ++j) {
        system(i, j) -= weight(j) * step(node(i), node(j));
      }
    }
    at_nodes_ = system.partialPivLu().solve(Eigen::VectorXd::Ones(kStateNodes));
  }
  double from(double u) const {
    double sum = 1;
    for (int j = 0; j < kStateNodes; ++j) {
      sum += weight(j) * step_(u, node(j)) * at_nodes_(j);
    }
    return sum;
  }

 private:
  double node(int i) const { return rule_.nodes[static_cast<std::size_t>(i)]; }
  double weight(int i) const {
    return rule_.weights[static_cast<std::size_t>(i)];
  }
  Step step_;
  Quadrature rule_;
  Eigen::VectorXd at_nodes_;
};

// The statistic's density inside the limits after some feeds: defective, its
// integral is the probability of no signal so far.
struct Survivors {
  Quadrature rule;
  std::vector<double> density;
  double total() const {
    double sum = 0;
    for (std::size_t j = 0; j < density.size(); ++j) {
      sum += rule.weights[j] * density[j];
    }
    return sum;
  }
};

// `unit` is the rule on [-1, 1].
Survivors advance(const Survivors& now,
                  const Step& step,
                  const Quadrature& unit,
                  double half) {
  Survivors next{unit, {}};
  for (double& node : next.rule.nodes) node *= half;
  for (double& weight : next.rule.weights) weight *= half;
  for (const double y : next.rule.nodes) {
    double sum = 0;
    for (std::size_t j = 0; j < now.density.size(); ++j) {
      sum += now.rule.weights[j] * now.density[j] * step(now.rule.nodes[j], y);
    }
    next.density.push_back(sum);
  }
  return next;
}

double growing_run_length(const Step& step, double settled_half) {
  const FixedLimits settled(step, settled_half);
  const double keep2 = (1 - step.lambda) * (1 - step.lambda);
  const Quadrature unit = gauss_legendre(kStateNodes, -1, 1);
  // A point mass at the centre.
  Survivors now{{{0.0}, {1.0}}, {1.0}};
  double run_length = 0;
  double decay = keep2;
  while (decay > 1e-6) {
    run_length += now.total();
    now = advance(now, step, unit, settled_half * std::sqrt(1 - decay));
    decay *= keep2;
  }
  for (std::size_t j = 0; j < now.density.size(); ++j) {
    run_length +=
        now.rule.weights[j] * now.density[j] * settled.from(now.rule.nodes[j]);
  }
  return run_length;
}

}  // namespace

double ewma_run_length(double lambda,
                       double width,
                       double shift,
                       EwmaLimits limits) {
  require_in_range(lambda, 0.01, 1, "ewma lambda");
  require_positive(width, "ewma width");
  require_finite(shift, "shift");
  const Step step{lambda, shift};
  const double half = width * std::sqrt(lambda / (2 - lambda));
  return limits == EwmaLimits::kFixed ? FixedLimits(step, half).from(0)
                                      : growing_run_length(step, half);
}

double ewma_width(double lambda, double run_length, EwmaLimits limits) {
  static DesignCache cache;
  const double key = limits == EwmaLimits::kFixed ? 0 : 1;
  return cache.find({lambda, run_length, key}, [&] {
    // The line of unsmoothed values; that of smoothed ones lies below it.
    const double unsmoothed = normal_quantile(1 - 0.5 / run_length);
    return find_limit(
        [&](double width) { return ewma_run_length(lambda, width, 0, limits); },
        run_length,
        0.2 * unsmoothed,
        1.01 * unsmoothed);
  });
}

}  // namespace evenfeed
