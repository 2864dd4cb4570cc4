// SPDX-License-Identifier: MIT
#include "wear/session_trend.h"

#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/random_effects_regression.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

using Index = Eigen::Index;

// Sessions that a robust trend must not contradict the slope by more than.
constexpr double kRobustAgrees = 0.2;
constexpr double kChartSd = 3;
constexpr double kHint = 0.01;
// Twice the log of how much likelier settles it: 20 times.
constexpr double kDecisive = 6;

// The columns of the model: one per level, then what is asked for.
struct Model {
  Eigen::VectorXd y;
  Eigen::VectorXd v;
  Eigen::MatrixXd levels;

  explicit Model(const std::vector<TrendPoint>& points) {
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
    }
  }

  Eigen::MatrixXd with(const std::vector<Eigen::VectorXd>& columns) const {
    Eigen::MatrixXd x(levels.rows(),
                      levels.cols() + static_cast<Index>(columns.size()));
    x.leftCols(levels.cols()) = levels;
    for (std::size_t c = 0; c < columns.size(); ++c) {
      x.col(levels.cols() + static_cast<Index>(c)) = columns[c];
    }
    return x;
  }

  RandomEffectsFit fit(const std::vector<Eigen::VectorXd>& columns) const {
    return random_effects_regression(y, v, with(columns));
  }
};

Estimate estimate_of(const RandomEffectsFit& fit, Index j, double confidence) {
  Estimate out;
  out.value = fit.coefficients(j);
  out.error = fit.standard_error(j);
  const double half =
      student_t_quantile((1 + confidence) / 2, fit.degrees) * out.error;
  out.low = out.value - half;
  out.high = out.value + half;
  out.probability = fit.probability(j);
  return out;
}

void widen(Estimate& one, const Estimate& other) {
  one.low = std::min(one.low, other.low);
  one.high = std::max(one.high, other.high);
}

Eigen::VectorXd kilofeeds_of(const std::vector<TrendPoint>& points) {
  Eigen::VectorXd x(static_cast<Index>(points.size()));
  for (Index i = 0; i < x.size(); ++i) {
    x(i) = points[static_cast<std::size_t>(i)].kilofeeds;
  }
  return x.array() - x.mean();
}

Eigen::VectorXd months_of(const std::vector<TrendPoint>& points) {
  Eigen::VectorXd x(static_cast<Index>(points.size()));
  for (Index i = 0; i < x.size(); ++i) {
    x(i) = points[static_cast<std::size_t>(i)].days / 30;
  }
  return x.array() - x.mean();
}

// 1 from point `at` on, within that point's level.
Eigen::VectorXd step_at(const std::vector<TrendPoint>& points, Index at) {
  Eigen::VectorXd x = Eigen::VectorXd::Zero(static_cast<Index>(points.size()));
  const int level = points[static_cast<std::size_t>(at)].level;
  for (Index i = at; i < x.size(); ++i) {
    if (points[static_cast<std::size_t>(i)].level == level) x(i) = 1;
  }
  return x;
}

// Boundaries inside a level with two sessions of it on either side: a single
// session that stands out, the newest most of all, is no lasting change yet.
std::vector<Index> boundaries(const std::vector<TrendPoint>& points) {
  std::vector<int> all;
  for (const TrendPoint& one : points) {
    const auto level = static_cast<std::size_t>(one.level);
    if (all.size() <= level) all.resize(level + 1, 0);
    ++all[level];
  }
  std::vector<int> seen(all.size(), 0);
  std::vector<Index> found;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto level = static_cast<std::size_t>(points[i].level);
    if (seen[level] >= 2 && all[level] - seen[level] >= 2) {
      found.push_back(static_cast<Index>(i));
    }
    ++seen[level];
  }
  return found;
}

// The boundary whose step takes most of the weighted squares away from a model
// with columns `base`, at the variances of that model's fit. With r its
// residuals and s a step's column, s less what the model can do of it leaves
//   gain = (s'Wr)^2 / (s'Ws - c' (B'WB)^-1 c),  c = B'Ws,
// and these are sums over the sessions of a level from the boundary on.
Index best_boundary(const Model& model,
                    const std::vector<TrendPoint>& points,
                    const std::vector<Index>& candidates,
                    const Eigen::MatrixXd& base,
                    const RandomEffectsFit& fit) {
  struct Sums {
    double w = 0;
    double wr = 0;
    Eigen::VectorXd c;
  };
  const Eigen::VectorXd w =
      (model.v.array() + fit.between_variance + 1e-300).inverse().matrix();
  const Eigen::VectorXd rest = model.y - base * fit.coefficients;
  const Eigen::MatrixXd wb = w.asDiagonal() * base;
  const Eigen::LLT<Eigen::MatrixXd> normal(base.transpose() * wb);
  std::vector<Sums> from(static_cast<std::size_t>(model.levels.cols()));
  for (Sums& one : from) one.c = Eigen::VectorXd::Zero(base.cols());
  Index best = candidates.back();
  double most = -1;
  auto next = candidates.rbegin();
  for (Index i = base.rows() - 1; i >= 0; --i) {
    const auto at = static_cast<std::size_t>(i);
    Sums& sums = from[static_cast<std::size_t>(points[at].level)];
    sums.w += w(i);
    sums.wr += w(i) * rest(i);
    sums.c += wb.row(i).transpose();
    if (next == candidates.rend() || *next != i) continue;
    ++next;
    const double left = sums.w - sums.c.dot(normal.solve(sums.c));
    const double gain = left > 1e-9 * sums.w ? sums.wr * sums.wr / left : 0;
    if (gain > most) {
      most = gain;
      best = i;
    }
  }
  return best;
}

// A step beside the columns `base`, where it fits best.
struct StepFit {
  bool ok = false;
  Index at = 0;
  Eigen::VectorXd column;
  RandomEffectsFit fit;
  double probability = 1;  ///< every boundary counted
};

StepFit fit_step(const Model& model,
                 const std::vector<TrendPoint>& points,
                 const std::vector<Eigen::VectorXd>& base,
                 const RandomEffectsFit& without) {
  StepFit out;
  const std::vector<Index> candidates = boundaries(points);
  if (candidates.empty() || !without.ok || without.degrees < 4) return out;
  out.at = best_boundary(model, points, candidates, model.with(base), without);
  out.column = step_at(points, out.at);
  std::vector<Eigen::VectorXd> columns{out.column};
  columns.insert(columns.end(), base.begin(), base.end());
  out.fit = model.fit(columns);
  if (!out.fit.ok) return out;
  out.probability = std::min(1.0,
                             out.fit.probability(model.levels.cols()) *
                                 static_cast<double>(candidates.size()));
  out.ok = true;
  return out;
}

// Twice the log of how many places a step may have: it chose the best.
double place_penalty(const std::vector<TrendPoint>& points) {
  return 2 * std::log(static_cast<double>(
                 std::max<std::size_t>(1, boundaries(points).size())));
}

void fill_chart(const Model& model,
                const std::vector<Eigen::VectorXd>& columns,
                const RandomEffectsFit& fit,
                SessionTrend& out) {
  const Eigen::VectorXd centre = model.with(columns) * fit.coefficients;
  for (Index i = 0; i < centre.size(); ++i) {
    const double sd = std::sqrt(fit.between_variance + model.v(i));
    out.fitted.push_back(centre(i));
    out.lower.push_back(centre(i) - kChartSd * sd);
    out.upper.push_back(centre(i) + kChartSd * sd);
  }
}

void fill_robust(const std::vector<TrendPoint>& points,
                 const TrendOptions& options,
                 SessionTrend& out) {
  std::vector<double> x;
  std::vector<double> y;
  std::vector<int> levels;
  for (const TrendPoint& one : points) {
    // After a sudden change a new stretch begins.
    const bool after = out.stepped && one.session >= out.step_before;
    x.push_back(one.kilofeeds);
    y.push_back(one.value);
    levels.push_back(2 * one.level + (after ? 1 : 0));
  }
  out.robust = segmented_trend(x, y, levels, options.confidence);
}

bool robust_agrees(const SessionTrend& trend) {
  return trend.robust.ok && trend.robust.probability < kRobustAgrees &&
         trend.robust.slope * trend.slope.value > 0;
}

}  // namespace

SessionTrend fit_session_trend(const std::vector<TrendPoint>& points,
                               const TrendOptions& options) {
  SessionTrend out;
  out.sessions = static_cast<int>(points.size());
  if (out.sessions < options.fewest_sessions) {
    out.message = "too few sessions to tell";
    return out;
  }
  const Model model(points);
  const Eigen::VectorXd feeds = kilofeeds_of(points);
  const Index asked = model.levels.cols();  // the column after the levels
  if (out.sessions - asked < 4) {
    out.message = "too few sessions beside the services to tell";
    return out;
  }
  const RandomEffectsFit sloped = model.fit({feeds});
  if (!sloped.ok) {
    out.message = sloped.message;
    return out;
  }
  // Half the alarms allowed to the slope, half to the two kinds of step.
  const double limit = options.alarm / 2;
  const double step_limit = options.alarm / 4;
  RandomEffectsFit chosen = sloped;
  std::vector<Eigen::VectorXd> columns{feeds};
  out.slope = estimate_of(sloped, asked, options.confidence);

  // A step that the slope leaves to be seen; else one in the slope's place.
  const StepFit beside = fit_step(model, points, {feeds}, sloped);
  const StepFit alone = fit_step(model, points, {}, model.fit({}));
  const double gain =
      alone.ok ? sloped.deviance - alone.fit.deviance - place_penalty(points)
               : 0;
  const StepFit* step = nullptr;
  if (beside.ok && beside.probability < step_limit) {
    step = &beside;
  } else if (alone.ok && alone.probability < step_limit &&
             (gain > 0 || !(out.slope.probability < limit))) {
    step = &alone;
  }
  if (step != nullptr) {
    out.stepped = true;
    out.step_before = points[static_cast<std::size_t>(step->at)].session;
    const RandomEffectsFit both = model.fit({step->column, feeds});
    const bool with_slope = both.ok && both.degrees >= 3;
    chosen = with_slope ? both : step->fit;
    columns = {step->column};
    const Estimate steady = out.slope;
    out.slope = {};
    if (with_slope) {
      columns.push_back(feeds);
      out.slope = estimate_of(both, asked + 1, options.confidence);
      out.either = step == &alone && gain < kDecisive;
      if (out.either) widen(out.slope, steady);
    }
    out.step = estimate_of(chosen, asked, options.confidence);
    out.step.probability = step->probability;
  } else if (alone.ok && alone.probability < step_limit && gain > -kDecisive) {
    // The slope stands, but a step would do nearly as well.
    const RandomEffectsFit both = model.fit({alone.column, feeds});
    out.either = both.ok && both.degrees >= 3;
    if (out.either) {
      widen(out.slope, estimate_of(both, asked + 1, options.confidence));
    }
  }
  out.degrees = chosen.degrees;
  out.between_sd = std::sqrt(chosen.between_variance);
  fill_robust(points, options, out);
  out.slope_limit = student_t_quantile(1 - limit / 2, out.degrees);
  const bool agrees = robust_agrees(out);
  out.wears = out.slope.probability < limit && agrees;
  out.hinted = !out.wears && out.slope.probability < kHint && agrees;
  if (std::isfinite(out.slope.value)) {
    std::vector<Eigen::VectorXd> by_month = columns;
    by_month.back() = months_of(points);
    const auto monthly = model.fit(by_month);
    if (monthly.ok) {
      out.per_month = estimate_of(
          monthly, monthly.coefficients.size() - 1, options.confidence);
    }
  }
  std::vector<double> own;
  for (const TrendPoint& one : points) own.push_back(std::sqrt(one.variance));
  out.own_sd = median(own);
  fill_chart(model, columns, chosen, out);
  out.ok = true;
  return out;
}

}  // namespace evenfeed
