// SPDX-License-Identifier: MIT
#include "wear/step_scan.h"

#include "base/check.h"
#include "stats/distributions.h"
#include "stats/grouped_precision.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

using Index = Eigen::Index;

// Models that matter no more than this together are left out.
constexpr double kNegligible = 1e-4;
// Beyond so many degrees Student's t is taken as normal: it is quicker.
constexpr int kManyDegrees = 200;

// The last coefficient in one of the models.
struct Belief {
  double weight = 0;
  double value = 0;
  double error = 0;
  double degrees = 1;

  double below(double x) const {
    const double t = (x - value) / error;
    return degrees > kManyDegrees ? normal_cdf(t) : student_t_cdf(t, degrees);
  }
  double quantile(double p) const {
    return value + error * student_t_quantile(p, degrees);
  }
};

double quantile_of(const std::vector<Belief>& beliefs, double p) {
  double low = beliefs[0].quantile(p);
  double high = low;
  double all = 0;
  for (const Belief& one : beliefs) {
    low = std::min(low, one.quantile(p));
    high = std::max(high, one.quantile(p));
    all += one.weight;
  }
  const double enough = 1e-4 * (high - low);
  while (high - low > enough) {
    const double middle = 0.5 * (low + high);
    double below = 0;
    for (const Belief& one : beliefs) below += one.weight * one.below(middle);
    (below < p * all ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

void leave_out_negligible(std::vector<Belief>& beliefs) {
  std::sort(beliefs.begin(), beliefs.end(), [](const auto& a, const auto& b) {
    return a.weight > b.weight;
  });
  double all = 0;
  for (const Belief& one : beliefs) all += one.weight;
  double kept = 0;
  std::size_t n = 0;
  while (n < beliefs.size() && kept < (1 - kNegligible) * all) {
    kept += beliefs[n++].weight;
  }
  beliefs.resize(std::max<std::size_t>(n, 1));
}

GroupedPrecision precision_of(const FittedColumns& fit) {
  return {fit.weights, fit.setups, fit.shared_variance};
}

}  // namespace

std::vector<Index> step_boundaries(const std::vector<int>& levels) {
  std::vector<int> all;
  for (const int one : levels) {
    const auto level = static_cast<std::size_t>(one);
    if (all.size() <= level) all.resize(level + 1, 0);
    ++all[level];
  }
  std::vector<int> seen(all.size(), 0);
  std::vector<Index> found;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const auto level = static_cast<std::size_t>(levels[i]);
    if (seen[level] >= 2 && all[level] - seen[level] >= 2) {
      found.push_back(static_cast<Index>(i));
    }
    ++seen[level];
  }
  return found;
}

std::vector<StepCandidate> scan_steps(const FittedColumns& fit) {
  struct Sums {
    double w = 0;
    double wr = 0;
    Eigen::VectorXd c;
  };
  const Eigen::MatrixXd& base = fit.columns;
  const Index last = base.cols() - 1;
  const std::vector<Index> boundaries = step_boundaries(fit.levels);
  const Eigen::VectorXd rest = fit.values - base * fit.coefficients;
  const GroupedPrecision precision = precision_of(fit);
  const Eigen::MatrixXd wb = precision.times(base);
  const Eigen::VectorXd wr = precision.times(rest);
  const Eigen::LLT<Eigen::MatrixXd> normal(base.transpose() * wb);
  const double own =
      normal.solve(Eigen::VectorXd::Unit(base.cols(), last))(last);
  int most = 0;
  for (const int one : fit.levels) most = std::max(most, one);
  std::vector<Sums> from(static_cast<std::size_t>(most) + 1);
  for (Sums& one : from) one.c = Eigen::VectorXd::Zero(base.cols());
  std::vector<double> of_setup(
      static_cast<std::size_t>(precision.group_weights().size()), 0.0);
  std::vector<StepCandidate> found(boundaries.size());
  std::size_t next = boundaries.size();
  for (Index i = base.rows() - 1; i >= 0; --i) {
    Sums& sums =
        from[static_cast<std::size_t>(fit.levels[static_cast<std::size_t>(i)])];
    sums.w += fit.weights(i);
    if (precision.grouped()) {
      double& part = of_setup[static_cast<std::size_t>(precision.group(i))];
      const double pull = precision.pull(precision.group(i));
      sums.w += pull * part * part;
      part += fit.weights(i);
      sums.w -= pull * part * part;
    }
    sums.wr += wr(i);
    sums.c += wb.row(i).transpose();
    if (next == 0 || boundaries[next - 1] != i) continue;
    StepCandidate& one = found[--next];
    one.at = i;
    one.coefficient = fit.coefficients(last);
    one.unit_variance = own;
    const Eigen::VectorXd projected = normal.solve(sums.c);
    const double left = sums.w - sums.c.dot(projected);
    if (!(left > 1e-9 * sums.w)) continue;
    one.gain = sums.wr * sums.wr / left;
    one.coefficient -= projected(last) * sums.wr / left;
    one.unit_variance += projected(last) * projected(last) / left;
  }
  return found;
}

Interval interval_with_step(const FittedColumns& fit, double confidence) {
  const int degrees =
      static_cast<int>(fit.values.size() - fit.columns.cols()) - 1;
  const Eigen::VectorXd rest = fit.values - fit.columns * fit.coefficients;
  const double squares = rest.dot(precision_of(fit).times(rest).col(0));
  const double of_last = std::isnan(fit.degrees) ? degrees : fit.degrees;
  std::vector<Belief> beliefs;
  double most = 0;
  const std::vector<StepCandidate> candidates = scan_steps(fit);
  for (const StepCandidate& one : candidates) most = std::max(most, one.gain);
  // A model that leaves nothing over cannot be weighed.
  if (degrees < 3 || most <= 0 || most > (1 - 1e-9) * squares) return {};
  for (const StepCandidate& one : candidates) {
    const double left = squares - one.gain;
    const double likelihood = 0.5 * degrees * std::log((squares - most) / left);
    beliefs.push_back({std::exp(likelihood),
                       one.coefficient,
                       std::sqrt(one.unit_variance * left / degrees),
                       of_last});
  }
  leave_out_negligible(beliefs);
  const double tail = (1 - confidence) / 2;
  return {quantile_of(beliefs, tail), quantile_of(beliefs, 1 - tail)};
}

}  // namespace evenfeed
