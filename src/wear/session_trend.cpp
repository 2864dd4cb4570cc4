// SPDX-License-Identifier: MIT
#include "wear/session_trend.h"

#include "base/check.h"
#include "stats/autocorrelation.h"
#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/grouped_precision.h"
#include "stats/random_effects_regression.h"
#include "wear/session_memory.h"
#include "wear/step_scan.h"
#include "wear/strangers.h"
#include "wear/trend_model.h"

#include <algorithm>
#include <cmath>
#include <limits>

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
// A step beside the slope this likely by chance gives no alarm, but the slope
// has to allow for it.
constexpr double kPossible = 0.05;

// Of a coefficient whose errors are wider than the fit says.
double probability_of(const RandomEffectsFit& fit, Index j, double inflation) {
  const double t =
      std::abs(fit.coefficients(j)) / (inflation * fit.standard_error(j));
  return 2 * student_t_cdf(-t, fit.degrees_of(j));
}

Estimate estimate_of(const RandomEffectsFit& fit,
                     Index j,
                     double confidence,
                     double inflation) {
  Estimate out;
  out.value = fit.coefficients(j);
  out.error = inflation * fit.standard_error(j);
  const double half =
      student_t_quantile((1 + confidence) / 2, fit.degrees_of(j)) * out.error;
  out.low = out.value - half;
  out.high = out.value + half;
  out.probability = probability_of(fit, j, inflation);
  return out;
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

// The least squares fit of these columns for one variance between sessions.
FittedColumns weighted(const TrendModel& model,
                       const std::vector<Eigen::VectorXd>& columns,
                       const RandomEffectsFit& fit) {
  FittedColumns out;
  out.columns = model.with(columns);
  out.weights = (model.v.array() + fit.between_variance + 1e-300).inverse();
  out.values = model.y;
  out.setups = model.setup_of;
  out.shared_variance = fit.shared_variance;
  if (!fit.own_degrees.empty()) out.degrees = fit.own_degrees.back();
  const Eigen::MatrixXd wx =
      GroupedPrecision(out.weights, out.setups, out.shared_variance)
          .times(out.columns);
  out.coefficients = Eigen::LLT<Eigen::MatrixXd>(out.columns.transpose() * wx)
                         .solve(wx.transpose() * out.values);
  out.levels = model.level_of;
  return out;
}

// A step beside the columns `base`, where it fits best.
struct StepFit {
  bool ok = false;
  Index at = 0;
  Eigen::VectorXd column;
  RandomEffectsFit fit;
  double probability = 1;  ///< every boundary counted
};

StepFit fit_step(const TrendModel& model,
                 const std::vector<TrendPoint>& points,
                 const std::vector<Eigen::VectorXd>& base,
                 const RandomEffectsFit& without,
                 double inflation) {
  StepFit out;
  if (!without.ok || without.degrees < 4) return out;
  const std::vector<StepCandidate> candidates =
      scan_steps(weighted(model, base, without));
  if (candidates.empty()) return out;
  out.at = std::max_element(
               candidates.begin(),
               candidates.end(),
               [](const auto& a, const auto& b) { return a.gain < b.gain; })
               ->at;
  out.column = step_at(points, out.at);
  std::vector<Eigen::VectorXd> columns{out.column};
  columns.insert(columns.end(), base.begin(), base.end());
  out.fit = model.fit(columns);
  if (!out.fit.ok) return out;
  out.probability =
      std::min(1.0,
               probability_of(out.fit, model.levels.cols(), inflation) *
                   static_cast<double>(candidates.size()));
  out.ok = true;
  return out;
}

// Twice the log of how many places a step may have: it chose the best.
double place_penalty(const TrendModel& model) {
  return 2 * std::log(static_cast<double>(std::max<std::size_t>(
                 1, step_boundaries(model.level_of).size())));
}

void widen(Estimate& one, const Interval& other) {
  if (std::isnan(other.low)) return;
  one.low = std::min(one.low, other.low);
  one.high = std::max(one.high, other.high);
}

// The explanations tried.
struct Fits {
  const TrendModel& model;
  const std::vector<TrendPoint>& points;
  Eigen::VectorXd feeds;
  RandomEffectsFit sloped;
  StepFit beside;   ///< a step that the slope leaves to be seen
  StepFit alone;    ///< a step in the slope's place
  double gain = 0;  ///< twice the log of how much likelier alone is than sloped
  double memory = 0;     ///< see the header
  double inflation = 1;  ///< of every error, by it

  Fits(const TrendModel& of, const std::vector<TrendPoint>& at)
      : model(of), points(at), feeds(kilofeeds_of(at)) {
    sloped = model.fit({feeds});
    if (!sloped.ok) return;
    fit_steps();
    memory = least_memory();
    if (memory == 0) return;
    inflation = error_inflation(memory);
    fit_steps();
  }

  void fit_steps() {
    beside = fit_step(model, points, {feeds}, sloped, inflation);
    alone = fit_step(model, points, {}, model.fit({}), inflation);
    if (!alone.ok) return;
    gain = (sloped.deviance - alone.fit.deviance) / (inflation * inflation) -
           place_penalty(model);
  }

  // A step that the slope does not know, or a slope that the step does not,
  // leaves memory of its own: what the best of them leaves counts. The place of
  // a step was chosen: one unknown more.
  double least_memory() const {
    double least = memory_of({feeds}, sloped, 0);
    if (beside.ok) {
      least = std::min(least, memory_of({beside.column, feeds}, beside.fit, 1));
    }
    if (alone.ok) {
      least = std::min(least, memory_of({alone.column}, alone.fit, 1));
    }
    return least;
  }

  double memory_of(const std::vector<Eigen::VectorXd>& columns,
                   const RandomEffectsFit& fit,
                   int chosen) const {
    const Eigen::VectorXd left =
        model.y - model.with(columns) * fit.coefficients;
    std::vector<double> rest;
    for (Index i = 0; i < left.size(); ++i) {
      rest.push_back(model.stranger[static_cast<std::size_t>(i)]
                         ? std::numeric_limits<double>::quiet_NaN()
                         : left(i));
    }
    const int unknowns = static_cast<int>(fit.coefficients.size()) + chosen;
    return model.setup_of.empty()
               ? session_memory(rest, unknowns)
               : setup_memory(
                     rest, model.setup_of, fit.shared_variance > 0, unknowns);
  }

  Index asked() const { return model.levels.cols(); }

  // The slope when something changed suddenly, wherever it did; `fit` for how
  // all scatters, its last coefficient is the slope.
  Interval slope_with_step(const RandomEffectsFit& fit,
                           double confidence) const {
    return interval_with_step(weighted(model, {feeds}, fit), confidence);
  }
};

// The step stands, and the slope beside it, if there are sessions enough.
void take_step(const Fits& fits,
               const StepFit& step,
               double confidence,
               RandomEffectsFit& chosen,
               std::vector<Eigen::VectorXd>& columns,
               SessionTrend& out) {
  out.stepped = true;
  out.step_before = fits.points[static_cast<std::size_t>(step.at)].session;
  const RandomEffectsFit both = fits.model.fit({step.column, fits.feeds});
  const bool with_slope = both.ok && both.degrees >= 3;
  chosen = with_slope ? both : step.fit;
  columns = {step.column};
  const Estimate steady = out.slope;
  out.slope = {};
  if (with_slope) {
    columns.push_back(fits.feeds);
    out.slope = estimate_of(both, fits.asked() + 1, confidence, fits.inflation);
    widen(out.slope, fits.slope_with_step(both, confidence));
    out.either = &step == &fits.alone && fits.gain < kDecisive;
    if (out.either) widen(out.slope, {steady.low, steady.high});
  }
  out.step = estimate_of(chosen, fits.asked(), confidence, fits.inflation);
  out.step.probability = step.probability;
}

// The slope stands; a step may do nearly as well, or come on top.
void doubt_slope(const Fits& fits, double confidence, SessionTrend& out) {
  if (fits.alone.ok && out.slope.probability < kHint &&
      fits.gain > -kDecisive) {
    const auto both = fits.model.fit({fits.alone.column, fits.feeds});
    out.either = both.ok && both.degrees >= 3;
    if (out.either) {
      const Estimate there =
          estimate_of(both, fits.asked() + 1, confidence, fits.inflation);
      widen(out.slope, {there.low, there.high});
    }
  }
  if (fits.beside.ok && fits.beside.probability < kPossible) {
    widen(out.slope, fits.slope_with_step(fits.beside.fit, confidence));
  }
}

void fill_chart(const TrendModel& model,
                const std::vector<TrendPoint>& points,
                const std::vector<Eigen::VectorXd>& columns,
                const RandomEffectsFit& fit,
                SessionTrend& out) {
  const Eigen::VectorXd centre = model.with(columns) * fit.coefficients;
  for (Index i = 0; i < centre.size(); ++i) {
    const double sd = std::sqrt(fit.between_variance + fit.shared_variance +
                                points[static_cast<std::size_t>(i)].variance);
    out.fitted.push_back(centre(i));
    out.lower.push_back(centre(i) - kChartSd * sd);
    out.upper.push_back(centre(i) + kChartSd * sd);
  }
}

// Where set-ups scatter more than the sessions of one, pairs of one set-up are
// compared: what goes from set-up to set-up would hide the rest.
void fill_robust(const std::vector<TrendPoint>& points,
                 const TrendModel& model,
                 const RandomEffectsFit& fit,
                 double confidence,
                 SessionTrend& out) {
  const bool by_setup =
      !model.setup_of.empty() && fit.shared_variance > fit.between_variance;
  std::vector<double> x;
  std::vector<double> y;
  std::vector<int> stretches;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const TrendPoint& one = points[i];
    // After a sudden change a new stretch begins.
    const bool after = out.stepped && one.session >= out.step_before;
    x.push_back(one.kilofeeds);
    y.push_back(one.value);
    stretches.push_back(2 * (by_setup ? model.setup_of[i] : one.level) +
                        (after ? 1 : 0));
  }
  out.robust = segmented_trend(x, y, stretches, confidence);
}

// What the robust trend would take for wear.
std::vector<TrendPoint> without_temperature(std::vector<TrendPoint> points,
                                            const TrendModel& model,
                                            const RandomEffectsFit& fit) {
  if (!model.with_temperature) return points;
  const Index column = model.levels.cols() - 1;
  for (Index i = 0; i < model.levels.rows(); ++i) {
    points[static_cast<std::size_t>(i)].value -=
        fit.coefficients(column) * model.levels(i, column);
  }
  return points;
}

bool robust_agrees(const SessionTrend& trend) {
  return trend.robust.ok && trend.robust.probability < kRobustAgrees &&
         trend.robust.slope * trend.slope.value > 0;
}

}  // namespace

void TrendOptions::check() const {
  require_probability(confidence, "confidence");
  require_in_range(alarm, 0, 1, "alarm");  // 0: of no sessions
  require_in_range(fewest_sessions, 3, 1e6, "fewest_sessions");
}

SessionTrend fit_session_trend(const std::vector<TrendPoint>& points,
                               const TrendOptions& options) {
  options.check();
  SessionTrend out;
  out.sessions = static_cast<int>(points.size());
  if (out.sessions < options.fewest_sessions) {
    out.message = "too few sessions to tell";
    return out;
  }
  out.weighed_down = strangers(points);
  TrendModel model(points, out.weighed_down);
  model.doubt_setups(kilofeeds_of(points));
  if (out.sessions - model.levels.cols() < 4) {
    out.message = "too few sessions beside the services to tell";
    return out;
  }
  const Fits fits(model, points);
  if (!fits.sloped.ok) {
    out.message = fits.sloped.message;
    return out;
  }
  // Half the alarms allowed to the slope, half to the two kinds of step.
  const double limit = options.alarm / 2;
  const double step_limit = options.alarm / 4;
  RandomEffectsFit chosen = fits.sloped;
  std::vector<Eigen::VectorXd> columns{fits.feeds};
  out.slope =
      estimate_of(chosen, fits.asked(), options.confidence, fits.inflation);
  out.memory = fits.memory;
  if (fits.beside.ok && fits.beside.probability < step_limit) {
    take_step(fits, fits.beside, options.confidence, chosen, columns, out);
  } else if (fits.alone.ok && fits.alone.probability < step_limit &&
             (fits.gain > 0 || !(out.slope.probability < limit))) {
    take_step(fits, fits.alone, options.confidence, chosen, columns, out);
  } else {
    doubt_slope(fits, options.confidence, out);
  }
  if (model.with_temperature) {
    out.per_degree = estimate_of(
        chosen, fits.asked() - 1, options.confidence, fits.inflation);
  }
  out.degrees = std::isfinite(out.slope.value)
                    ? chosen.degrees_of(chosen.coefficients.size() - 1)
                    : chosen.degrees;
  out.between_sd = std::sqrt(chosen.between_variance + chosen.shared_variance);
  out.shared_sd = std::sqrt(chosen.shared_variance);
  if (!model.setup_of.empty()) {
    out.setups =
        1 + *std::max_element(model.setup_of.begin(), model.setup_of.end());
  }
  fill_robust(without_temperature(points, model, chosen),
              model,
              chosen,
              options.confidence,
              out);
  out.slope_limit = student_t_quantile(1 - limit / 2, out.degrees);
  const bool agrees = robust_agrees(out);
  out.wears = out.slope.probability < limit && agrees;
  out.hinted = !out.wears && out.slope.probability < kHint && agrees;
  if (std::isfinite(out.slope.value)) {
    std::vector<Eigen::VectorXd> by_month = columns;
    by_month.back() = months_of(points);
    const auto monthly = model.fit(by_month);
    if (monthly.ok) {
      out.per_month = estimate_of(monthly,
                                  monthly.coefficients.size() - 1,
                                  options.confidence,
                                  fits.inflation);
    }
  }
  std::vector<double> own;
  for (const TrendPoint& one : points) own.push_back(std::sqrt(one.variance));
  out.own_sd = median(own);
  fill_chart(model, points, columns, chosen, out);
  out.ok = true;
  return out;
}

}  // namespace evenfeed
