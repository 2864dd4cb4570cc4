// SPDX-License-Identifier: MIT
#include "quality/swing.h"

#include "stats/autocorrelation.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace evenfeed {
namespace {

constexpr int kFewestForSwing = 16;
constexpr double kShortestPeriod = 6;  // faster is scatter, or alternation
constexpr double kUnknowns = 4;        // mean, slope, cosine, sine
constexpr double kStepsPerPeriod = 2;  // frequencies tried per 1 / n

struct Sine {
  Eigen::Vector4d coefficients{0, 0, 0, 0};  // mean, slope, cosine, sine
  double squares = 0;                        // left
};

Eigen::Vector4d shapes(double t, double n, double frequency) {
  const double turn = 2 * std::numbers::pi * frequency * t;
  return {1, 2 * t / n - 1, std::cos(turn), std::sin(turn)};
}

Sine fit_sine(const std::vector<double>& values, double frequency) {
  const auto n = static_cast<double>(values.size());
  Eigen::Matrix4d products = Eigen::Matrix4d::Zero();
  Eigen::Vector4d with_values = Eigen::Vector4d::Zero();
  double squares = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    const Eigen::Vector4d x = shapes(static_cast<double>(i), n, frequency);
    products += x * x.transpose();
    with_values += x * values[i];
    squares += values[i] * values[i];
  }
  Sine out;
  out.coefficients = products.ldlt().solve(with_values);
  out.squares = std::max(0.0, squares - out.coefficients.dot(with_values));
  return out;
}

// Less their mean and line.
std::vector<double> detrended(const std::vector<double>& values) {
  Eigen::Matrix2d products = Eigen::Matrix2d::Zero();
  Eigen::Vector2d with_values = Eigen::Vector2d::Zero();
  const auto shape = [&](std::size_t i) {
    return Eigen::Vector2d(1, static_cast<double>(i));
  };
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    products += shape(i) * shape(i).transpose();
    with_values += shape(i) * values[i];
  }
  const Eigen::Vector2d line = products.ldlt().solve(with_values);
  std::vector<double> rest = values;
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= line.dot(shape(i));
  return rest;
}

// A mean alone makes an autocorrelation too small by (1 + 4 r)/n, and the best
// of many sines by more.
double memory_beside(const std::vector<double>& values,
                     const Sine& sine,
                     double frequency,
                     int known) {
  std::vector<double> rest = values;
  for (std::size_t i = 0; i < rest.size(); ++i) {
    rest[i] -= sine.coefficients.dot(shapes(
        static_cast<double>(i), static_cast<double>(rest.size()), frequency));
  }
  const double r = lag1_autocorrelation(rest);
  if (!std::isfinite(r)) return 0;
  return std::clamp(r + (kUnknowns + 4 * r) / known, 0.0, 0.9);
}

}  // namespace

Swing find_swing(const std::vector<double>& values,
                 double fewest_periods,
                 double significance) {
  Swing out;
  const auto known = static_cast<int>(std::count_if(
      values.begin(), values.end(), [](double v) { return std::isfinite(v); }));
  if (known < kFewestForSwing) return out;
  const std::vector<double> rest = detrended(values);
  double before = 0;
  double rounding = 0;
  for (std::size_t i = 0; i < rest.size(); ++i) {
    if (!std::isfinite(rest[i])) continue;
    before += rest[i] * rest[i];
    rounding += 1e-24 * values[i] * values[i];
  }
  if (!(before > rounding)) return out;
  const auto n = static_cast<double>(values.size());
  Sine best{Eigen::Vector4d::Zero(), before};
  double frequency = 0;
  int tried = 0;
  for (double f = fewest_periods / n; f <= 1 / kShortestPeriod;
       f += 1 / (kStepsPerPeriod * n)) {
    const Sine one = fit_sine(rest, f);
    ++tried;
    if (one.squares >= best.squares) continue;
    best = one;
    frequency = f;
  }
  if (frequency == 0) return out;
  out.period = 1 / frequency;
  out.amplitude = best.coefficients.tail<2>().norm();
  const double memory = memory_beside(rest, best, frequency, known);
  const double f = (before - best.squares) / 2 /
                   (best.squares / (known - 4) + 1e-300) * (1 - memory) /
                   (1 + memory);
  out.probability = std::min(1.0, tried * f_tail(f, 2, known - 4));
  out.certain = out.probability < significance;
  return out;
}

}  // namespace evenfeed
