// SPDX-License-Identifier: MIT
#include "wear/step_scan.h"

#include "base/random.h"
#include "stats/distributions.h"

#include <cmath>
#include <random>

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

using Index = Eigen::Index;

Eigen::VectorXd solve(const Eigen::MatrixXd& x,
                      const Eigen::VectorXd& w,
                      const Eigen::VectorXd& y) {
  const Eigen::MatrixXd wx = w.asDiagonal() * x;
  return Eigen::LLT<Eigen::MatrixXd>(x.transpose() * wx)
      .solve(wx.transpose() * y);
}

// A level per entry of `levels`, then a slope; a step at `step_at`.
FittedColumns stepped_sessions(const std::vector<int>& levels,
                               double slope,
                               double step,
                               Index step_at,
                               std::uint64_t index) {
  auto engine = derived_engine(4, "step scan", index);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform(0.5, 2);
  const auto n = static_cast<Index>(levels.size());
  int most = 0;
  for (const int one : levels) most = std::max(most, one);
  FittedColumns fit;
  fit.levels = levels;
  fit.columns = Eigen::MatrixXd::Zero(n, most + 2);
  fit.weights.resize(n);
  fit.values.resize(n);
  for (Index i = 0; i < n; ++i) {
    fit.columns(i, levels[static_cast<std::size_t>(i)]) = 1;
    fit.columns(i, most + 1) =
        static_cast<double>(i) - static_cast<double>(n - 1) / 2;
    fit.weights(i) = uniform(engine);
    fit.values(i) = 10 + slope * fit.columns(i, most + 1) +
                    (i >= step_at ? step : 0) +
                    normal(engine) / std::sqrt(fit.weights(i));
  }
  fit.coefficients = solve(fit.columns, fit.weights, fit.values);
  return fit;
}

double squares(const Eigen::MatrixXd& x,
               const FittedColumns& fit,
               const Eigen::VectorXd& b) {
  const Eigen::VectorXd rest = fit.values - x * b;
  return rest.dot(fit.weights.asDiagonal() * rest);
}

}  // namespace

TEST_CASE("step scan: the same as fitting every model anew") {
  // Two levels, one with a session among the other's.
  const std::vector<int> levels{0, 0, 0, 0, 1, 0, 0, 1, 1, 1, 1, 1, 1, 1};
  const FittedColumns fit = stepped_sessions(levels, 0.2, -3, 6, 1);
  const double before = squares(fit.columns, fit, fit.coefficients);
  const std::vector<StepCandidate> found = scan_steps(fit);
  REQUIRE(found.size() == step_boundaries(levels).size());
  CHECK(found.size() == 8);
  for (const StepCandidate& one : found) {
    CAPTURE(one.at);
    Eigen::MatrixXd x(fit.columns.rows(), fit.columns.cols() + 1);
    x << fit.columns, Eigen::VectorXd::Zero(fit.columns.rows());
    for (Index i = one.at; i < x.rows(); ++i) {
      const bool same = levels[static_cast<std::size_t>(i)] ==
                        levels[static_cast<std::size_t>(one.at)];
      x(i, x.cols() - 1) = same ? 1 : 0;
    }
    const Eigen::VectorXd b = solve(x, fit.weights, fit.values);
    const Eigen::MatrixXd inverse =
        (x.transpose() * fit.weights.asDiagonal() * x).inverse();
    const Index slope = fit.columns.cols() - 1;
    CHECK(one.gain == doctest::Approx(before - squares(x, fit, b)));
    CHECK(one.coefficient == doctest::Approx(b(slope)));
    CHECK(one.unit_variance == doctest::Approx(inverse(slope, slope)));
  }
}

TEST_CASE("step scan: two sessions on either side, in each level") {
  CHECK(step_boundaries({}).empty());
  CHECK(step_boundaries({0, 0, 0}).empty());
  CHECK(step_boundaries({0, 0, 0, 0}) == std::vector<Index>{2});
  CHECK(step_boundaries({0, 0, 0, 1, 1, 1}).empty());
  CHECK(step_boundaries({0, 1, 0, 1, 0, 1, 0, 1}) == std::vector<Index>{4, 5});
}

TEST_CASE("slope beside a step: where it was is not known") {
  const std::vector<int> levels(40, 0);
  // A step that cannot be missed: the interval is that with its place known.
  const FittedColumns clear = stepped_sessions(levels, 0.1, 40, 15, 3);
  const Interval got = interval_with_step(clear, 0.95);
  for (const StepCandidate& one : scan_steps(clear)) {
    if (one.at != 15) continue;
    const double left =
        squares(clear.columns, clear, clear.coefficients) - one.gain;
    const double half = student_t_quantile(0.975, 37) *
                        std::sqrt(one.unit_variance * left / 37);
    CHECK(got.low == doctest::Approx(one.coefficient - half).epsilon(1e-3));
    CHECK(got.high == doctest::Approx(one.coefficient + half).epsilon(1e-3));
  }
  // One that can: the place that fits best makes the slope look too certain.
  const int runs = 1000;
  int covered = 0;
  int covered_at_best = 0;
  for (int run = 0; run < runs; ++run) {
    const FittedColumns fit = stepped_sessions(levels, 0.1, 2, 15, 100 + run);
    covered += interval_with_step(fit, 0.95).contains(0.1);
    StepCandidate best;
    for (const StepCandidate& one : scan_steps(fit)) {
      if (one.gain > best.gain) best = one;
    }
    const double left = squares(fit.columns, fit, fit.coefficients) - best.gain;
    const double half = student_t_quantile(0.975, 37) *
                        std::sqrt(best.unit_variance * left / 37);
    covered_at_best += std::abs(best.coefficient - 0.1) < half;
  }
  CAPTURE(covered);
  CAPTURE(covered_at_best);
  // So small a step is sometimes put elsewhere: not the full 95 %.
  CHECK(covered > 0.88 * runs);
  CHECK(covered < 0.98 * runs);
  CHECK(covered_at_best < covered - 0.03 * runs);
}

TEST_CASE("slope beside a step: no answer without room for one") {
  const FittedColumns few = stepped_sessions({0, 0, 0, 0, 0}, 0, 1, 2, 1);
  CHECK(std::isnan(interval_with_step(few, 0.95).low));
  // No boundary has two sessions of one level on either side.
  const FittedColumns none =
      stepped_sessions({0, 0, 0, 1, 1, 1, 2, 2, 2}, 0, 1, 2, 1);
  CHECK(std::isnan(interval_with_step(none, 0.95).high));
}

TEST_CASE("step scan: where set-ups are shared, the same as fitting anew") {
  const std::vector<int> levels{0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1};
  FittedColumns fit = stepped_sessions(levels, 0.2, -3, 5, 2);
  fit.setups = {0, 0, 0, 1, 1, 1, 2, 3, 3, 4, 4, 4};
  fit.shared_variance = 2;
  const Index n = fit.columns.rows();
  Eigen::MatrixXd v = fit.weights.cwiseInverse().asDiagonal();
  for (Index i = 0; i < n; ++i) {
    for (Index j = 0; j < n; ++j) {
      if (fit.setups[static_cast<std::size_t>(i)] ==
          fit.setups[static_cast<std::size_t>(j)]) {
        v(i, j) += fit.shared_variance;
      }
    }
  }
  const Eigen::MatrixXd w = v.inverse();
  const auto solved = [&](const Eigen::MatrixXd& x) {
    const Eigen::MatrixXd phi = (x.transpose() * w * x).inverse();
    return std::pair{Eigen::VectorXd(phi * (x.transpose() * w * fit.values)),
                     phi};
  };
  const auto left = [&](const Eigen::MatrixXd& x, const Eigen::VectorXd& b) {
    const Eigen::VectorXd rest = fit.values - x * b;
    return rest.dot(w * rest);
  };
  fit.coefficients = solved(fit.columns).first;
  const double before = left(fit.columns, fit.coefficients);
  const std::vector<StepCandidate> found = scan_steps(fit);
  REQUIRE(found.size() == 6);
  for (const StepCandidate& one : found) {
    CAPTURE(one.at);
    Eigen::MatrixXd x(n, fit.columns.cols() + 1);
    x << fit.columns, Eigen::VectorXd::Zero(n);
    for (Index i = one.at; i < n; ++i) {
      x(i, x.cols() - 1) = levels[static_cast<std::size_t>(i)] ==
                           levels[static_cast<std::size_t>(one.at)];
    }
    const auto [b, phi] = solved(x);
    CHECK(one.gain == doctest::Approx(before - left(x, b)));
    CHECK(one.coefficient == doctest::Approx(b(x.cols() - 2)));
    CHECK(one.unit_variance ==
          doctest::Approx(phi(x.cols() - 2, x.cols() - 2)));
  }
  // Fewer degrees of freedom, a wider interval.
  const Interval many = interval_with_step(fit, 0.95);
  fit.degrees = 2;
  const Interval few = interval_with_step(fit, 0.95);
  CHECK(few.high - few.low > 1.3 * (many.high - many.low));
}
