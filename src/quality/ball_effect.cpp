// SPDX-License-Identifier: MIT
#include "quality/ball_effect.h"

#include "stats/descriptive.h"
#include "stats/distributions.h"
#include "stats/variance_components.h"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kTail = 0.025;  // of the intervals, either side
constexpr double kOff = 0.01;    // of a false "off", over all balls

struct Balls {
  std::vector<std::string> names;
  std::vector<std::vector<double>> values;
  double gauge_variance = 0;
  int gauged = 0;
};

Balls collect(const TrialTable& table, const std::vector<bool>& use, int j) {
  std::map<std::string, std::vector<double>> by_name;
  Balls balls;
  for (int i = 0; i < table.rows(); ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double x = table.values(i, j);
    if (!use[k] || table.balls[k].empty() || !std::isfinite(x)) continue;
    by_name[table.balls[k]].push_back(x);
    const double sigma = table.sigmas(i, j);
    if (!std::isfinite(sigma)) continue;
    balls.gauge_variance += sigma * sigma;
    ++balls.gauged;
  }
  for (auto& [name, values] : by_name) {
    balls.names.push_back(name);
    balls.values.push_back(std::move(values));
  }
  if (balls.gauged > 0) balls.gauge_variance /= balls.gauged;
  return balls;
}

double root(double variance) { return std::sqrt(std::max(0.0, variance)); }

// Size of the groups as far as their mean square is concerned (Searle 1971).
double group_size(const Balls& balls, int feeds) {
  double squares = 0;
  for (const auto& one : balls.values) {
    squares += static_cast<double>(one.size() * one.size());
  }
  return (feeds - squares / feeds) /
         (static_cast<double>(balls.values.size()) - 1);
}

// From F = MSB / MSW: F / F_quantile is a bound of 1 + n0 ball / within, and
// MSB / chi-squared quantile one of within + n0 ball.
SdInterval ball_interval(const VarianceComponents& fit,
                         double n0,
                         double within) {
  const double a = fit.groups - 1;
  const double b = fit.values - fit.groups;
  const double mean_square = fit.f * within;
  const double upper_f = f_upper(kTail, a, b);
  const double lower_f = 1 / f_upper(kTail, b, a);
  SdInterval out;
  out.sd = root(fit.between_variance);
  out.low = root(mean_square * (1 - upper_f / fit.f) * a /
                 (n0 * chi_squared_quantile(1 - kTail, a)));
  out.high = root(mean_square * (1 - lower_f / fit.f) * a /
                  (n0 * chi_squared_quantile(kTail, a)));
  return out;
}

SdInterval launcher_interval(double within, int degrees, double gauge) {
  return {
      root(within - gauge),
      root(within * degrees / chi_squared_quantile(1 - kTail, degrees) - gauge),
      root(within * degrees / chi_squared_quantile(kTail, degrees) - gauge)};
}

// The ball furthest from all others is named, set aside, and the rest asked
// again: otherwise it would shift the mean every other ball is compared with.
// What is left of `balls` agrees.
std::vector<BallOff> find_off(Balls& balls,
                              int feeds,
                              double within,
                              std::size_t tests) {
  const int degrees = feeds - static_cast<int>(balls.values.size());
  const double limit = student_t_quantile(
      1 - kOff / (2 * static_cast<double>(tests * balls.values.size())),
      degrees);
  std::vector<BallOff> off;
  while (balls.values.size() >= 2) {
    double total = 0;
    double n = 0;
    for (const auto& one : balls.values) {
      total += mean(one) * static_cast<double>(one.size());
      n += static_cast<double>(one.size());
    }
    BallOff furthest;
    std::size_t at = 0;
    double largest = 0;
    for (std::size_t k = 0; k < balls.values.size(); ++k) {
      const auto own = static_cast<double>(balls.values[k].size());
      const double ball_mean = mean(balls.values[k]);
      const double difference =
          ball_mean - (total - own * ball_mean) / (n - own);
      const double t =
          std::abs(difference) / std::sqrt(within * (1 / own + 1 / (n - own)));
      if (t <= largest) continue;
      largest = t;
      at = k;
      furthest = {balls.names[k], static_cast<int>(own), difference};
    }
    if (!(largest > limit)) break;
    off.push_back(furthest);
    balls.names.erase(balls.names.begin() + static_cast<std::ptrdiff_t>(at));
    balls.values.erase(balls.values.begin() + static_cast<std::ptrdiff_t>(at));
  }
  return off;
}

double range_of_means(const Balls& balls) {
  std::vector<double> means;
  for (const auto& one : balls.values) means.push_back(mean(one));
  const auto [low, high] = std::minmax_element(means.begin(), means.end());
  return *high - *low;
}

}  // namespace

std::vector<BallEffect> ball_effects(const TrialTable& table,
                                     const std::vector<bool>& use) {
  std::vector<BallEffect> effects;
  if (table.balls.empty()) return effects;
  for (int j = 0; j < table.columns(); ++j) {
    const Balls balls = collect(table, use, j);
    const VarianceComponents fit = variance_components(balls.values);
    if (!fit.ok) continue;
    // The mean square within, which the intervals are about; restricted
    // likelihood gives nearly the same.
    double squares = 0;
    for (const auto& one : balls.values) {
      squares += summarise_group(one).squares;
    }
    const int degrees = fit.values - fit.groups;
    const double within = squares / degrees;
    BallEffect effect;
    effect.characteristic = table.characteristics[static_cast<std::size_t>(j)];
    effect.balls = fit.groups;
    effect.feeds = fit.values;
    effect.probability = fit.f_probability;
    effect.ball = ball_interval(fit, group_size(balls, fit.values), within);
    effect.launcher = launcher_interval(within, degrees, balls.gauge_variance);
    effect.launcher.sd = root(fit.within_variance - balls.gauge_variance);
    if (balls.gauged > 0) effect.gauge_sd = root(balls.gauge_variance);
    effect.range = range_of_means(balls);
    Balls agreeing = balls;
    effect.off = find_off(agreeing,
                          fit.values,
                          within,
                          static_cast<std::size_t>(table.columns()));
    // Off is off from most: of two balls that differ either may be.
    effect.scattered = !effect.off.empty() &&
                       2 * agreeing.values.size() <= balls.values.size();
    if (effect.scattered) effect.off.clear();
    effects.push_back(std::move(effect));
  }
  return effects;
}

std::vector<std::string> ball_warnings(const std::vector<BallEffect>& effects) {
  std::vector<std::string> words;
  for (const BallEffect& effect : effects) {
    if (effect.scattered) {
      words.push_back(fmt::format(
          "the balls differ in {} by up to {} from ball to ball, more than "
          "chance allows; which of them are off cannot be told, since no more "
          "than half of the {} agree: compare ball by ball, or feed balls of "
          "one batch",
          characteristic_words(effect.characteristic),
          characteristic_value(effect.characteristic, effect.range),
          effect.balls));
    }
    for (const BallOff& one : effect.off) {
      words.push_back(fmt::format(
          "ball {} is off: its {} feeds differ by {} in {} from those of the "
          "other balls; leave it out or compare ball by ball",
          one.ball,
          one.feeds,
          signed_value(effect.characteristic, one.difference),
          characteristic_words(effect.characteristic)));
    }
  }
  return words;
}

}  // namespace evenfeed
