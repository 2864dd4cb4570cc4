// SPDX-License-Identifier: MIT
#include "wear/trend_model.h"

#include "stats/descriptive.h"
#include "stats/nested_effects_regression.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <span>
#include <utility>

namespace evenfeed {
namespace {

using Index = Eigen::Index;

// Where it is told for all and varies by enough to be seen: its deviations.
std::optional<Eigen::VectorXd> temperatures(
    const std::vector<TrendPoint>& points) {
  constexpr double kVaries_C = 1;  // sd
  constexpr std::size_t kFewest = 8;
  if (points.size() < kFewest) return std::nullopt;
  Eigen::VectorXd t(static_cast<Index>(points.size()));
  for (Index i = 0; i < t.size(); ++i) {
    t(i) = points[static_cast<std::size_t>(i)].temperature_C;
  }
  if (!t.allFinite()) return std::nullopt;
  t.array() -= t.mean();
  const double sd =
      t.norm() / std::sqrt(static_cast<double>(points.size() - 1));
  if (!(sd > kVaries_C)) return std::nullopt;
  return t;
}

// Numbers of the set-ups from 0 on, one for each session that shares none; a
// service in the middle of one begins another. Empty when none is shared.
std::vector<int> shared_setups(const std::vector<TrendPoint>& points) {
  std::map<std::pair<int, int>, int> numbers;
  std::vector<int> setups;
  std::vector<int> levels;
  int next = 0;
  for (const TrendPoint& one : points) {
    levels.push_back(one.level);
    if (one.setup < 0) {
      setups.push_back(next++);
      continue;
    }
    const auto [at, fresh] = numbers.try_emplace({one.level, one.setup}, next);
    next += fresh;
    setups.push_back(at->second);
  }
  return has_shared_sets(setups, levels) ? setups : std::vector<int>{};
}

}  // namespace

TrendModel::TrendModel(const std::vector<TrendPoint>& points,
                       const std::vector<int>& weighed_down)
    : stranger(points.size(), false) {
  const auto k = static_cast<Index>(points.size());
  int most = 0;
  for (const TrendPoint& one : points) most = std::max(most, one.level);
  y.resize(k);
  v.resize(k);
  levels = Eigen::MatrixXd::Zero(k, most + 1);
  for (Index i = 0; i < k; ++i) {
    const TrendPoint& one = points[static_cast<std::size_t>(i)];
    y(i) = one.value;
    v(i) = one.variance;
    levels(i, one.level) = 1;
    level_of.push_back(one.level);
  }
  setup_of = shared_setups(points);
  if (const auto t = temperatures(points)) {
    with_temperature = true;
    levels.conservativeResize(Eigen::NoChange, levels.cols() + 1);
    levels.rightCols<1>() = *t;
  }
  const double middle = median(
      std::span<const double>(y.data(), static_cast<std::size_t>(y.size())));
  for (const int i : weighed_down) {
    stranger[static_cast<std::size_t>(i)] = true;
    v(i) += std::pow(y(i) - middle, 2);
  }
}

Eigen::MatrixXd TrendModel::with(
    const std::vector<Eigen::VectorXd>& columns) const {
  Eigen::MatrixXd x(levels.rows(),
                    levels.cols() + static_cast<Index>(columns.size()));
  x.leftCols(levels.cols()) = levels;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    x.col(levels.cols() + static_cast<Index>(c)) = columns[c];
  }
  return x;
}

RandomEffectsFit TrendModel::fit(
    const std::vector<Eigen::VectorXd>& columns) const {
  return setup_of.empty()
             ? random_effects_regression(y, v, with(columns))
             : nested_effects_regression(y, v, with(columns), setup_of);
}

void TrendModel::doubt_setups(const Eigen::VectorXd& feeds) {
  constexpr double kTenth = 1.642;
  if (setup_of.empty()) return;
  const RandomEffectsFit nested = fit({feeds});
  const RandomEffectsFit plain = random_effects_regression(y, v, with({feeds}));
  if (!nested.ok || !(plain.deviance - nested.deviance > kTenth)) {
    setup_of.clear();
  }
}

}  // namespace evenfeed
