// SPDX-License-Identifier: MIT
#include "quality/settling.h"

#include "stats/distributions.h"
#include "stats/least_value.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

constexpr double kLine = std::numeric_limits<double>::infinity();
constexpr std::array<double, 10> kTaus{
    3, 5, 8, 12, 20, 30, 50, 100, 200, kLine};
constexpr std::size_t kLongest = 240;
constexpr int kFewestForCurve = 12;
// Residual variance over that of successive differences: 1 for noise about
// the curve, 1.4 for a lag-1 autocorrelation of 0.3, more for steps.
constexpr double kWorstFit = 2;

struct Curve {
  double tau = kLine;
  double squares = std::numeric_limits<double>::infinity();
  double slope = 0;     // per unit of the shape
  double slope_se = 0;  // up to the residual sd
  double ahead = 0;     // change of the shape over the horizon
};

double shape(double i, double tau) {
  return std::isinf(tau) ? -i : std::exp(-i / tau);
}

Curve fit_curve(const std::vector<double>& values,
                std::size_t first,
                double tau,
                double horizon) {
  double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
  const double step = std::isinf(tau) ? 0 : std::exp(-1 / tau);
  double e = std::isinf(tau) ? 0 : 1;
  for (std::size_t i = first; i < values.size(); ++i) {
    if (std::isfinite(values[i])) {
      n += 1;
      x += e;
      y += values[i];
      xx += e * e;
      xy += e * values[i];
      yy += values[i] * values[i];
    }
    e = std::isinf(tau) ? e - 1 : e * step;
  }
  Curve curve;
  curve.tau = tau;
  const double sxx = xx - x * x / n;
  if (!(sxx > 0)) return curve;
  curve.slope = (xy - x * y / n) / sxx;
  curve.squares =
      std::max(0.0, yy - y * y / n - curve.slope * curve.slope * sxx);
  curve.slope_se = 1 / std::sqrt(sxx);
  const double last = static_cast<double>(values.size() - 1 - first);
  curve.ahead = shape(last, tau) - shape(last + horizon, tau);
  return curve;
}

// Half the mean squared difference of neighbours: the variance of the noise,
// whatever moves slowly.
double neighbour_variance(const std::vector<double>& values,
                          std::size_t first) {
  double sum = 0;
  double n = 0;
  for (std::size_t i = first + 1; i < values.size(); ++i) {
    const double d = values[i] - values[i - 1];
    if (!std::isfinite(d)) continue;
    sum += d * d / 2;
    n += 1;
  }
  return n > 0 ? sum / n : 0;
}

// The best curve between the neighbours of the best tau tried, over log tau.
Curve refine(const std::vector<double>& values,
             std::size_t first,
             double horizon,
             const std::array<Curve, kTaus.size()>& curves,
             const Curve& best) {
  const auto k = static_cast<std::size_t>(&best - curves.data());
  if (k + 2 >= kTaus.size()) return best;  // a line, or next to one
  const auto curve_at = [&](double log_tau) {
    return fit_curve(values, first, std::exp(log_tau), horizon);
  };
  const LeastValue least = least_value_between(
      [&](double log_tau) { return curve_at(log_tau).squares; },
      std::log(k == 0 ? 1.5 : kTaus[k - 1]),
      std::log(kTaus[k + 1]));
  return least.value < best.squares ? curve_at(least.at) : best;
}

}  // namespace

int Settling::feeds_until(double allowed) const {
  if (!fits || !(ahead > allowed) || !(allowed > 0) || std::isinf(tau))
    return 0;
  return static_cast<int>(std::ceil(tau * std::log(ahead / allowed)));
}

Settling fit_settling(const std::vector<double>& values,
                      double horizon_feeds,
                      double confidence) {
  Settling out;
  const std::size_t first =
      values.size() > kLongest ? values.size() - kLongest : 0;
  const auto n = static_cast<double>(
      std::count_if(values.begin() + static_cast<std::ptrdiff_t>(first),
                    values.end(),
                    [](double v) { return std::isfinite(v); }));
  if (n < kFewestForCurve) return out;
  std::array<Curve, kTaus.size()> curves;
  for (std::size_t k = 0; k < kTaus.size(); ++k) {
    curves[k] = fit_curve(values, first, kTaus[k], horizon_feeds);
  }
  const Curve& best = *std::min_element(
      curves.begin(), curves.end(), [](const Curve& a, const Curve& b) {
        return a.squares < b.squares;
      });
  const double variance = best.squares / (n - 3);
  if (!(variance <= kWorstFit * neighbour_variance(values, first))) return out;
  out.fits = true;
  const double t = student_t_quantile(confidence, n - 3);
  const double believed = best.squares * (1 + 3.841 / (n - 3));
  for (const Curve& curve : curves) {
    if (curve.squares > believed) continue;
    const double sd = std::sqrt(curve.squares / (n - 3));
    out.movement = std::max(
        out.movement,
        (std::abs(curve.slope) + t * sd * curve.slope_se) * curve.ahead);
  }
  const bool curved = std::isfinite(best.tau);
  out.first = static_cast<int>(first);
  out.strength = std::abs(best.slope) / (std::sqrt(variance) * best.slope_se);
  out.certain =
      curved && std::abs(best.slope) > 4 * std::sqrt(variance) * best.slope_se;
  const Curve told =
      out.certain ? refine(values, first, horizon_feeds, curves, best) : best;
  out.tau = told.tau;
  out.ahead = std::abs(told.slope) * told.ahead;
  if (curved) out.amplitude = told.slope;
  return out;
}

}  // namespace evenfeed
