// SPDX-License-Identifier: MIT
#include "quality/clean_series.h"

#include "base/nan.h"
#include "stats/autocorrelation.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

constexpr int kReach = 4;                   // feeds to either side
constexpr double kWild = 6;                 // robust sd
constexpr std::size_t kFewestForScale = 8;  // values that make a robust sd

double local_median(const std::vector<double>& values, int i) {
  const int first = std::max(0, i - kReach);
  const int last = std::min(static_cast<int>(values.size()) - 1, i + kReach);
  std::vector<double> around;
  for (int k = first; k <= last; ++k) {
    const double x = values[static_cast<std::size_t>(k)];
    if (std::isfinite(x)) around.push_back(x);
  }
  return median(around);
}

}  // namespace

std::vector<double> set_wild_aside(const std::vector<double>& values) {
  std::vector<double> distance(values.size(), kNaN);
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    distance[i] = values[i] - local_median(values, static_cast<int>(i));
  }
  const std::vector<double> known = finite_only(distance);
  std::vector<double> kept = values;
  if (known.size() < kFewestForScale) return kept;
  const double scale = median_absolute_deviation(known);
  if (!(scale > 0)) return kept;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!(std::abs(distance[i]) <= kWild * scale)) kept[i] = kNaN;
  }
  return kept;
}

CleanSeries::CleanSeries(const std::vector<double>& values)
    : values_(set_wild_aside(values)) {
  const std::vector<double> known = finite_only(values_);
  offset_ = known.empty() ? 0 : median(known);
  prefix_.resize(values_.size() + 1);
  for (std::size_t i = 0; i < values_.size(); ++i) {
    values_[i] -= offset_;
    Sums sums = prefix_[i];
    if (std::isfinite(values_[i])) {
      const auto t = static_cast<double>(i);
      const double y = values_[i];
      sums.n += 1;
      sums.t += t;
      sums.tt += t * t;
      sums.y += y;
      sums.ty += t * y;
      sums.yy += y * y;
    }
    prefix_[i + 1] = sums;
  }
}

CleanSeries::Sums CleanSeries::between(int first, int last) const {
  const Sums& b = prefix_[static_cast<std::size_t>(last + 1)];
  const Sums& a = prefix_[static_cast<std::size_t>(first)];
  return {
      b.n - a.n, b.t - a.t, b.tt - a.tt, b.y - a.y, b.ty - a.ty, b.yy - a.yy};
}

StretchFit CleanSeries::fit(int first, int last) const {
  StretchFit out;
  const Sums s = between(first, last);
  out.n = static_cast<int>(s.n);
  if (out.n < 3) return out;
  const double tt = s.tt - s.t * s.t / s.n;
  const double ty = s.ty - s.t * s.y / s.n;
  const double yy = std::max(0.0, s.yy - s.y * s.y / s.n);
  out.mean = offset_ + s.y / s.n;
  out.slope = ty / tt;
  out.residual_sd = std::sqrt(std::max(0.0, yy - out.slope * ty) / (s.n - 2));
  out.slope_se = out.residual_sd / std::sqrt(tt);
  return out;
}

double CleanSeries::split_t(int first, int split, int last) const {
  const Sums a = between(first, split - 1);
  const Sums b = between(split, last);
  if (a.n < 2 || b.n < 2) return 0;
  const double squares =
      std::max(0.0, a.yy - a.y * a.y / a.n + b.yy - b.y * b.y / b.n);
  const double variance = squares / (a.n + b.n - 2);
  const double difference = b.y / b.n - a.y / a.n;
  if (!(variance > 0)) {
    return difference == 0 ? 0 : std::numeric_limits<double>::infinity();
  }
  return difference / std::sqrt(variance * (1 / a.n + 1 / b.n));
}

double CleanSeries::credible_memory(int first, int last) const {
  const StretchFit line = fit(first, last);
  if (line.n < 3) return 0;
  const Sums s = between(first, last);
  std::vector<double> rest;
  for (int i = first; i <= last; ++i) {
    rest.push_back(values_[static_cast<std::size_t>(i)] - s.y / s.n -
                   line.slope * (i - s.t / s.n));
  }
  return credible_autocorrelation(lag1_autocorrelation(rest), line.n);
}

double CleanSeries::short_term_sd(int first, int last) const {
  double squares = 0;
  int pairs = 0;
  for (int i = first + 1; i <= last; ++i) {
    const double d = values_[static_cast<std::size_t>(i)] -
                     values_[static_cast<std::size_t>(i - 1)];
    if (!std::isfinite(d)) continue;
    squares += d * d;
    ++pairs;
  }
  return pairs > 0 ? std::sqrt(squares / (2 * pairs)) : 0;
}

Bend CleanSeries::bend(int first, int last) const {
  const StretchFit line = fit(first, last);
  if (line.n < 6) return {};
  const Sums s = between(first, last);
  const double middle = s.t / s.n;
  const double half = std::max(1.0, 0.5 * (last - first));
  const auto at = [&](int i) { return (i - middle) / half; };
  // The square less its own line, so that it stands alone.
  double uu = 0;
  double uuu = 0;
  for (int i = first; i <= last; ++i) {
    if (!std::isfinite(values_[static_cast<std::size_t>(i)])) continue;
    uu += at(i) * at(i);
    uuu += at(i) * at(i) * at(i);
  }
  const auto shape = [&](int i) {
    return at(i) * at(i) - uu / s.n - uuu / uu * at(i);
  };
  std::vector<double> rest;
  double qq = 0;
  double qy = 0;
  for (int i = first; i <= last; ++i) {
    const double y = values_[static_cast<std::size_t>(i)];
    rest.push_back(y - s.y / s.n - line.slope * (i - middle));
    if (!std::isfinite(y)) continue;
    qq += shape(i) * shape(i);
    qy += shape(i) * rest.back();
  }
  if (!(qq > 0)) return {};
  Bend out;
  out.size = qy / qq;
  double squares = 0;
  for (int i = first; i <= last; ++i) {
    double& left = rest[static_cast<std::size_t>(i - first)];
    left -= out.size * shape(i);
    if (std::isfinite(left)) squares += left * left;
  }
  if (!(squares > 0)) return {};
  const double memory =
      credible_autocorrelation(lag1_autocorrelation(rest), line.n);
  out.t = out.size *
          std::sqrt(qq * (line.n - 3) / squares * (1 - memory) / (1 + memory));
  return out;
}

}  // namespace evenfeed
