// SPDX-License-Identifier: MIT
#include "quality/swing_or_rest.h"

#include "stats/autocorrelation.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace evenfeed {
namespace {

constexpr int kFewest = 16;
constexpr double kShortestSwing = 12;
constexpr double kLongestSwing = 100;
constexpr double kFrequencySteps = 4;  // tried per 1 / n
constexpr int kFewestAtRest = 6;
constexpr int kStarts = 40;  // of a rest that are tried
constexpr double kRestTaus[] = {0, 3, 6, 12, 20, 30};
constexpr double kSwingUnknowns = 3;
constexpr double kBetter = 5.991;  // chi-squared, 95 %, 2 degrees of freedom

// Three shapes by row, the known values, and what a fit of them leaves.
struct Account {
  double squares = 0;  // left
  Eigen::Vector3d coefficients{0, 0, 0};
  Eigen::VectorXd rest;
};

Account explain(const Eigen::MatrixX3d& shapes, const Eigen::VectorXd& values) {
  Account out;
  // A step has no third shape.
  Eigen::Matrix3d products = shapes.transpose() * shapes;
  products.diagonal().array() += 1e-9;
  out.coefficients = products.ldlt().solve(shapes.transpose() * values);
  out.rest = values - shapes * out.coefficients;
  out.squares = out.rest.squaredNorm();
  return out;
}

class History {
 public:
  explicit History(const std::vector<double>& values) {
    const auto known = std::count_if(values.begin(),
                                     values.end(),
                                     [](double v) { return std::isfinite(v); });
    values_.resize(known);
    times_.resize(known);
    Eigen::Index at = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
      if (!std::isfinite(values[i])) continue;
      times_(at) = static_cast<double>(i);
      values_(at++) = values[i];
    }
    n_ = static_cast<double>(values.size());
    if (known == 0) return;
    scale_ = values_.cwiseAbs().maxCoeff();
    values_.array() -= values_.mean();
    squares_ = values_.squaredNorm();
  }

  double known() const { return static_cast<double>(values_.size()); }
  double length() const { return n_; }
  double squares() const { return squares_; }
  bool varies() const { return squares_ > 1e-24 * known() * scale_ * scale_; }

  Account swing(double frequency) const {
    const Eigen::ArrayXd turn = 2 * std::numbers::pi * frequency * times_;
    Eigen::MatrixX3d shapes(times_.size(), 3);
    shapes << Eigen::VectorXd::Ones(times_.size()), turn.cos().matrix(),
        turn.sin().matrix();
    return explain(shapes, values_);
  }

  Account rest(double start, double tau) const {
    const Eigen::ArrayXd since = times_ - start;
    const Eigen::ArrayXd after = (since >= 0).cast<double>();
    Eigen::MatrixX3d shapes = Eigen::MatrixX3d::Zero(times_.size(), 3);
    shapes.col(0) = (1 - after).matrix();
    shapes.col(1) = after.matrix();
    if (tau > 0) shapes.col(2) = (after * (-since / tau).exp()).matrix();
    return explain(shapes, values_);
  }

  Account best_rest() const {
    Account best;
    best.squares = squares_;
    best.rest = values_;
    const double step = std::max(1.0, std::floor(n_ / kStarts));
    for (double start = 0; start <= n_ - kFewestAtRest; start += step) {
      for (const double tau : kRestTaus) {
        Account one = rest(start, tau);
        if (one.squares < best.squares) best = std::move(one);
      }
    }
    return best;
  }

 private:
  Eigen::VectorXd values_;  // less their mean
  Eigen::ArrayXd times_;
  double n_ = 0;
  double scale_ = 0;
  double squares_ = 0;
};

// By which memory from feed to feed divides what is known.
double memory_factor(const Eigen::VectorXd& rest) {
  const double r = lag1_autocorrelation(
      {rest.data(), static_cast<std::size_t>(rest.size())});
  if (!(r > 0)) return 1;
  const double memory = std::min(r, 0.9);
  return (1 - memory) / (1 + memory);
}

}  // namespace

Swing find_possible_swing(const std::vector<double>& values,
                          double significance) {
  Swing out;
  const History history(values);
  if (history.known() < kFewest || !history.varies()) return out;
  Account best;
  best.squares = history.squares();
  int tried = 0;
  for (double f = 1 / kLongestSwing; f <= 1 / kShortestSwing;
       f += 1 / (kFrequencySteps * history.length())) {
    Account one = history.swing(f);
    ++tried;
    if (one.squares >= best.squares) continue;
    out.period = 1 / f;
    best = std::move(one);
  }
  if (!std::isfinite(out.period)) return out;
  out.amplitude = best.coefficients.tail<2>().norm();
  const double left = best.squares + 1e-300;
  const double freedom = history.known() - kSwingUnknowns;
  const double f_value = (history.squares() - left) / 2 / (left / freedom) *
                         memory_factor(best.rest);
  out.probability = std::min(1.0, tried * f_tail(f_value, 2, freedom));
  if (!(out.probability < significance)) return out;
  const Account rest = history.best_rest();
  const Account& better = rest.squares < best.squares ? rest : best;
  const double gain = history.known() *
                      std::log(left / (rest.squares + 1e-300)) *
                      memory_factor(better.rest);
  out.certain = gain < kBetter;
  return out;
}

}  // namespace evenfeed
