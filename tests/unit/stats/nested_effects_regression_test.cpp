// SPDX-License-Identifier: MIT
#include "stats/nested_effects_regression.h"

#include "base/random.h"
#include "stats/distributions.h"
#include "stats/grouped_precision.h"

#include <cmath>
#include <random>

#include <Eigen/Dense>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

using Index = Eigen::Index;

struct Nested {
  Eigen::VectorXd y;
  Eigen::VectorXd v;
  Eigen::MatrixXd x;  ///< 1 and the place in order
  std::vector<int> sets;
};

Nested nested(int sets, int members, double shared, double own, int index) {
  auto engine = derived_engine(
      12, "nested", static_cast<std::uint64_t>(1000 * members + index));
  std::normal_distribution<double> normal;
  const Index n = sets * members;
  Nested data{Eigen::VectorXd(n),
              Eigen::VectorXd::Constant(n, 0.01),
              Eigen::MatrixXd::Ones(n, 2),
              {}};
  double of_set = 0;
  for (Index i = 0; i < n; ++i) {
    if (i % members == 0) of_set = shared * normal(engine);
    data.sets.push_back(static_cast<int>(i / members));
    data.x(i, 1) = static_cast<double>(i) - 0.5 * static_cast<double>(n - 1);
    data.y(i) = 3 + of_set + std::hypot(own, 0.1) * normal(engine);
  }
  return data;
}

Eigen::MatrixXd dense(const Eigen::VectorXd& w,
                      const std::vector<int>& groups,
                      double shared) {
  Eigen::MatrixXd v = w.cwiseInverse().asDiagonal();
  for (Index i = 0; i < v.rows(); ++i) {
    for (Index j = 0; j < v.cols(); ++j) {
      if (groups[static_cast<std::size_t>(i)] ==
          groups[static_cast<std::size_t>(j)]) {
        v(i, j) += shared;
      }
    }
  }
  return v;
}

}  // namespace

TEST_CASE("grouped precision: the same as the whole matrix") {
  const Eigen::VectorXd w = Eigen::VectorXd::LinSpaced(6, 0.5, 3);
  const std::vector<int> groups{0, 1, 0, 2, 1, 0};
  const Eigen::MatrixXd v = dense(w, groups, 0.7);
  const Eigen::MatrixXd x = Eigen::MatrixXd::Random(6, 3);
  const GroupedPrecision precision(w, groups, 0.7);
  CHECK((precision.times(x) - v.inverse() * x).norm() < 1e-12);
  CHECK(precision.log_determinant() ==
        doctest::Approx(std::log(v.determinant())));
  const GroupedPrecision plain(w, {}, 0.7);
  CHECK((plain.times(x) - w.asDiagonal() * x).norm() < 1e-15);
}

TEST_CASE("nested effects: balanced sets are the analysis of variance") {
  // Searle, Casella and McCulloch (1992, Variance Components, 4.5 and 3.6):
  // with g sets of m, mean squares B between and W within, W estimates the
  // variance within, (B - W) / m that between; the mean's error is sqrt(B / (g
  // m)) with Student's t on g - 1.
  constexpr int kSets = 7;
  constexpr int kMembers = 4;
  const Nested data = nested(kSets, kMembers, 2, 1, 0);
  const Eigen::MatrixXd one = data.x.leftCols<1>();
  const auto fit = nested_effects_regression(
      data.y, Eigen::VectorXd::Zero(data.y.size()), one, data.sets);
  REQUIRE(fit.ok);
  double between = 0;
  double within = 0;
  for (Index g = 0; g < kSets; ++g) {
    const Eigen::VectorXd of_set = data.y.segment(g * kMembers, kMembers);
    between += kMembers * std::pow(of_set.mean() - data.y.mean(), 2);
    within += (of_set.array() - of_set.mean()).square().sum();
  }
  between /= kSets - 1;
  within /= kSets * (kMembers - 1);
  CHECK(fit.between_variance == doctest::Approx(within).epsilon(1e-4));
  CHECK(fit.shared_variance ==
        doctest::Approx((between - within) / kMembers).epsilon(1e-4));
  CHECK(fit.coefficients(0) == doctest::Approx(data.y.mean()));
  CHECK(fit.standard_error(0) ==
        doctest::Approx(std::sqrt(between / data.y.size())).epsilon(1e-4));
  CHECK(fit.degrees_of(0) == doctest::Approx(kSets - 1).epsilon(1e-3));
  // At the restricted maximum: no pair of variances near makes it likelier.
  const auto objective = [&](double own, double shared) {
    const Eigen::MatrixXd v = dense(
        Eigen::VectorXd::Constant(data.y.size(), 1 / own), data.sets, shared);
    const Eigen::MatrixXd inverse = v.inverse();
    const Eigen::MatrixXd normal = one.transpose() * inverse * one;
    const Eigen::VectorXd rest = data.y.array() - fit.coefficients(0);
    return std::log(v.determinant()) + std::log(normal.determinant()) +
           rest.dot(inverse * rest);
  };
  const double best = objective(fit.between_variance, fit.shared_variance);
  for (const double part : {0.9, 1.1}) {
    CHECK(objective(part * fit.between_variance, fit.shared_variance) > best);
    CHECK(objective(fit.between_variance, part * fit.shared_variance) > best);
  }
}

TEST_CASE("nested effects: slopes are as sure as they say") {
  // Seen within the sets; from set to set; and where nothing is shared.
  struct Kind {
    double shared;
    double own;
  };
  for (const Kind kind : {Kind{2, 0.1}, {1, 1}, {0, 1}}) {
    constexpr int kRuns = 400;
    int covered = 0;
    double z_squares = 0;
    for (int run = 0; run < kRuns; ++run) {
      const Nested data = nested(8, 4, kind.shared, kind.own, run);
      const auto fit =
          nested_effects_regression(data.y, data.v, data.x, data.sets);
      REQUIRE(fit.ok);
      const double z = fit.coefficients(1) / fit.standard_error(1);
      covered += std::abs(z) < student_t_quantile(0.975, fit.degrees_of(1));
      z_squares += z * z;
    }
    CAPTURE(kind.shared);
    CHECK(covered >= 0.93 * kRuns);
    CHECK(covered <= 0.995 * kRuns);
    CHECK(z_squares / kRuns < 1.6);
  }
  // What is seen within has the sessions' degrees, else the sets' are fewer.
  const Nested within = nested(8, 4, 5, 0.1, 1);
  CHECK(nested_effects_regression(within.y, within.v, within.x, within.sets)
            .degrees_of(1) > 15);
  const Nested between = nested(8, 4, 1, 0.5, 1);
  CHECK(nested_effects_regression(between.y, between.v, between.x, between.sets)
            .degrees_of(1) < 25);
}

TEST_CASE("nested effects: which sets can be told") {
  CHECK(has_shared_sets({0, 0, 1, 2}, {}));
  CHECK_FALSE(has_shared_sets({0, 1, 2, 3}, {}));
  // One set is its level.
  CHECK_FALSE(has_shared_sets({0, 0, 0, 0}, {}));
  CHECK_FALSE(has_shared_sets({0, 0, 1, 1}, {0, 0, 1, 1}));
  CHECK(has_shared_sets({0, 0, 1, 2}, {0, 0, 0, 1}));
}

TEST_CASE("nested effects: bad input has a reason") {
  const Nested data = nested(4, 2, 1, 1, 2);
  Eigen::VectorXd bad = data.y;
  bad(0) = std::nan("");
  CHECK_FALSE(nested_effects_regression(bad, data.v, data.x, data.sets).ok);
  CHECK_THROWS(nested_effects_regression(data.y, data.v, data.x, {0, 1}));
}
