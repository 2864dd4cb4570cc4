// SPDX-License-Identifier: MIT
#include "stats/nested_effects_regression.h"

#include "base/check.h"
#include "stats/grouped_precision.h"
#include "stats/symmetric_eigen.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

using Index = Eigen::Index;

// The two variances: between, shared.
constexpr std::size_t kBetween = 0;
constexpr std::size_t kShared = 1;
constexpr std::size_t kVariances = 2;

// Generalised least squares for a pair of variances. With V_j = dV/d(variance
// j), G = V^-1 X, Phi = (X'G)^-1.
struct Solution {
  GroupedPrecision precision;
  Eigen::MatrixXd g;
  Eigen::MatrixXd phi;
  Eigen::VectorXd beta;
  Eigen::VectorXd h;  ///< V^-1 (y - X beta)
  double deviance = 0;
  double objective = 0;  ///< -2 log restricted likelihood

  Solution(const Eigen::VectorXd& y,
           const Eigen::VectorXd& v,
           const Eigen::MatrixXd& x,
           const std::vector<int>& sets,
           const Eigen::Vector2d& variances)
      : precision((v.array() + variances(kBetween)).inverse().matrix(),
                  sets,
                  variances(kShared)) {
    g = precision.times(x);
    const Eigen::LLT<Eigen::MatrixXd> factor(x.transpose() * g);
    phi = factor.solve(Eigen::MatrixXd::Identity(x.cols(), x.cols()));
    beta = phi * (g.transpose() * y);
    const Eigen::VectorXd rest = y - x * beta;
    h = precision.times(rest);
    deviance = precision.log_determinant() + rest.dot(h);
    const Eigen::MatrixXd l = factor.matrixL();
    objective = deviance + 2 * l.diagonal().array().log().sum();
  }
};

// What the likelihood says of the variances at a solution.
struct Curvature {
  Eigen::Vector2d score;
  Eigen::Matrix2d information;
  /// G' V_j G and G' V_j V^-1 V_k G.
  std::array<Eigen::MatrixXd, kVariances> moved;
  std::array<std::array<Eigen::MatrixXd, kVariances>, kVariances> twice;
};

Curvature curvature_at(const Solution& at) {
  const GroupedPrecision& precision = at.precision;
  const Eigen::ArrayXd w = precision.weights().array();
  const Eigen::ArrayXd all = precision.group_weights().array();
  const Eigen::ArrayXd of_set = all / (1 + precision.shared() * all);
  const Eigen::MatrixXd sums = precision.group_sums(at.g);
  const Eigen::MatrixXd inner = precision.times(at.g);
  const Eigen::ArrayXd squares =
      precision.group_sums(w.square().matrix()).col(0).array();
  const Eigen::ArrayXd cubes =
      precision.group_sums(w.cube().matrix()).col(0).array();
  const Eigen::ArrayXd pull =
      precision.shared() / (1 + precision.shared() * all);

  Curvature out;
  out.moved[kBetween] = at.g.transpose() * at.g;
  out.moved[kShared] = sums.transpose() * sums;
  out.twice[kBetween][kBetween] = at.g.transpose() * inner;
  out.twice[kBetween][kShared] = precision.group_sums(inner).transpose() * sums;
  out.twice[kShared][kBetween] = out.twice[kBetween][kShared].transpose();
  out.twice[kShared][kShared] =
      sums.transpose() * of_set.matrix().asDiagonal() * sums;

  const Eigen::Vector2d trace{w.sum() - (pull * squares).sum(), of_set.sum()};
  Eigen::Matrix2d traces;
  traces(kBetween, kBetween) =
      (squares - 2 * pull * cubes + (pull * squares).square()).sum();
  traces(kBetween, kShared) = traces(kShared, kBetween) =
      (squares / (1 + precision.shared() * all).square()).sum();
  traces(kShared, kShared) = of_set.square().sum();

  const Eigen::VectorXd of_sets = precision.group_sums(at.h).col(0);
  const Eigen::Vector2d seen{at.h.squaredNorm(), of_sets.squaredNorm()};
  for (std::size_t j = 0; j < kVariances; ++j) {
    const auto row = static_cast<Index>(j);
    const Eigen::MatrixXd one = at.phi * out.moved[j];
    out.score(row) = 0.5 * (seen(row) - trace(row) + one.trace());
    for (std::size_t k = 0; k < kVariances; ++k) {
      const auto column = static_cast<Index>(k);
      out.information(row, column) =
          0.5 * (traces(row, column) - 2 * (at.phi * out.twice[j][k]).trace() +
                 (one * at.phi * out.moved[k]).trace());
    }
  }
  return out;
}

// Scoring step with the variances at 0 that want to fall held there.
Eigen::Vector2d step_from(const Eigen::Vector2d& at, const Curvature& curve) {
  Eigen::Matrix2d information = curve.information;
  Eigen::Vector2d score = curve.score;
  for (Index j = 0; j < 2; ++j) {
    if (at(j) > 0 || score(j) > 0) continue;
    score(j) = 0;
    information.row(j).setZero();
    information.col(j).setZero();
    information(j, j) = 1;
  }
  return symmetric_pseudo_inverse(information) * score;
}

struct Search {
  bool ok = false;
  Eigen::Vector2d at;
};

template <class Solve>
Search best_variances(const Solve& solve, Eigen::Vector2d at, double scale) {
  constexpr int kMostSteps = 100;
  constexpr int kMostHalvings = 30;
  constexpr double kEnough = 1e-8;  // of the objective
  Solution here = solve(at);
  for (int n = 0; n < kMostSteps; ++n) {
    const Eigen::Vector2d step = step_from(at, curvature_at(here));
    if (!step.allFinite()) return {};
    double part = 1;
    double gain = 0;  // 0: no part of the step is better
    for (int k = 0; k < kMostHalvings && gain == 0; ++k, part /= 2) {
      const Eigen::Vector2d next = (at + part * step).cwiseMax(0);
      Solution there = solve(next);
      if (!(there.objective < here.objective)) continue;
      gain = here.objective - there.objective;
      here = std::move(there);
      at = next;
    }
    if (gain < kEnough) {
      for (double& one : at) one = one < 1e-9 * scale ? 0 : one;
      return {true, at};
    }
  }
  return {};
}

// Kenward and Roger's covariance and each coefficient's degrees of freedom.
void fill_errors(const Solution& at, RandomEffectsFit& fit) {
  const Curvature curve = curvature_at(at);
  const Eigen::Matrix2d known = symmetric_pseudo_inverse(curve.information);
  const Index p = at.phi.cols();
  Eigen::MatrixXd more = Eigen::MatrixXd::Zero(p, p);
  for (std::size_t j = 0; j < kVariances; ++j) {
    for (std::size_t k = 0; k < kVariances; ++k) {
      more += known(static_cast<Index>(j), static_cast<Index>(k)) *
              (curve.twice[j][k] - curve.moved[j] * at.phi * curve.moved[k]);
    }
  }
  const Eigen::MatrixXd added = at.phi * (more + more.transpose()) * at.phi;
  fit.covariance = at.phi + added;
  for (Index c = 0; c < p; ++c) {
    Eigen::Vector2d moves;
    for (std::size_t j = 0; j < kVariances; ++j) {
      moves(static_cast<Index>(j)) =
          at.phi.row(c) * curve.moved[j] * at.phi.col(c);
    }
    const double scatter = moves.dot(known * moves);
    const double most = fit.degrees;
    fit.own_degrees.push_back(
        scatter > 0
            ? std::clamp(2 * std::pow(at.phi(c, c), 2) / scatter, 1.0, most)
            : most);
    // A variance is not made smaller by its being estimated.
    fit.covariance(c, c) = std::max(fit.covariance(c, c), at.phi(c, c));
  }
}

}  // namespace

bool has_shared_sets(const std::vector<int>& sets,
                     const std::vector<int>& level) {
  require(level.empty() || level.size() == sets.size(),
          "sets and levels differ in number");
  std::map<int, std::map<int, int>> members;
  for (std::size_t i = 0; i < sets.size(); ++i) {
    ++members[level.empty() ? 0 : level[i]][sets[i]];
  }
  return std::any_of(members.begin(), members.end(), [](const auto& one) {
    return one.second.size() > 1 &&
           std::any_of(one.second.begin(),
                       one.second.end(),
                       [](const auto& set) { return set.second > 1; });
  });
}

RandomEffectsFit nested_effects_regression(const Eigen::VectorXd& means,
                                           const Eigen::VectorXd& variances,
                                           const Eigen::MatrixXd& x,
                                           const std::vector<int>& sets) {
  require(std::ssize(sets) == means.size(),
          "means and their sets differ in number");
  RandomEffectsFit fit = random_effects_regression(means, variances, x);
  if (!fit.ok) return fit;
  const Eigen::VectorXd rest = means - x * fit.coefficients;
  const double scale = rest.squaredNorm() / fit.degrees;
  const Eigen::VectorXd v = variances.array().max(1e-9 * scale).matrix();
  const auto solve = [&](const Eigen::Vector2d& at) {
    return Solution(means, v, x, sets, at);
  };
  const Search found =
      best_variances(solve, Eigen::Vector2d::Constant(scale / 2), scale);
  if (!found.ok) {
    fit.ok = false;
    fit.message = "the scatter within and between set-ups cannot be told apart";
    return fit;
  }
  const Solution at = solve(found.at);
  fit.coefficients = at.beta;
  fit.between_variance = found.at(kBetween);
  fit.shared_variance = found.at(kShared);
  fit.q = 1;
  fit.deviance = at.deviance;
  fill_errors(at, fit);
  return fit;
}

}  // namespace evenfeed
