// SPDX-License-Identifier: MIT
#include "stats/variance_components.h"

#include "base/random.h"
#include "stats/descriptive.h"
#include "stats/least_value.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <random>

#include <Eigen/Dense>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

using Groups = std::vector<std::vector<double>>;

Groups batches(const std::string& file) {
  const CsvTable table = statistics_table(file);
  const std::size_t batch = table.require_column("Batch");
  const std::vector<double> yields = column_of(table, "Yield");
  std::map<std::string, std::vector<double>> by_name;
  for (std::size_t r = 0; r < yields.size(); ++r) {
    by_name[table.text(r, batch)].push_back(yields[r]);
  }
  Groups groups;
  for (const auto& one : by_name) groups.push_back(one.second);
  return groups;
}

Groups drawn(const std::vector<int>& sizes,
             double between_sd,
             double within_sd,
             std::uint64_t index) {
  auto engine = derived_engine(5, "variance components", index);
  std::normal_distribution<double> normal;
  Groups groups;
  for (const int size : sizes) {
    const double at = 10 + between_sd * normal(engine);
    groups.emplace_back();
    for (int i = 0; i < size; ++i) {
      groups.back().push_back(at + within_sd * normal(engine));
    }
  }
  return groups;
}

// The criterion from its definition, with the whole N x N covariance matrix:
// (N - 1) log 2 pi + log |V| + log |1' V^-1 1| + r' V^-1 r.
double dense_criterion(const Groups& groups, double between, double within) {
  std::vector<double> y;
  std::vector<std::size_t> group_of;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    for (const double value : groups[g]) {
      y.push_back(value);
      group_of.push_back(g);
    }
  }
  const auto n = static_cast<Eigen::Index>(y.size());
  Eigen::MatrixXd v = Eigen::MatrixXd::Zero(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) {
      if (group_of[i] == group_of[j]) v(i, j) += between;
      if (i == j) v(i, j) += within;
    }
  }
  const Eigen::VectorXd ys = Eigen::VectorXd::Map(y.data(), n);
  const Eigen::VectorXd ones = Eigen::VectorXd::Ones(n);
  const Eigen::MatrixXd inverse = v.inverse();
  const double information = ones.dot(inverse * ones);
  const Eigen::VectorXd rest =
      ys - ones * (ones.dot(inverse * ys) / information);
  return static_cast<double>(n - 1) * std::log(2 * std::numbers::pi) +
         std::log(v.determinant()) + std::log(information) +
         rest.dot(inverse * rest);
}

}  // namespace

TEST_CASE("variance components: the dyestuff data of Davies and Goldsmith") {
  const VarianceComponents fit = variance_components(batches("dyestuff.csv"));
  REQUIRE(fit.ok);
  CHECK(fit.groups == 6);
  CHECK(fit.values == 30);
  // lme4 (Bates et al. 2015): REML between 1764, within 2451.2, criterion
  // 319.65; groups of one size, so equal to the analysis of variance:
  // (11271.5 - 2451.25) / 5.
  CHECK(fit.between_variance == doctest::Approx(1764.05).epsilon(1e-6));
  CHECK(fit.within_variance == doctest::Approx(2451.25).epsilon(1e-6));
  CHECK(fit.criterion == doctest::Approx(319.65427684).epsilon(1e-9));
  CHECK(fit.mean == doctest::Approx(1527.5));
  CHECK(fit.mean_se == doctest::Approx(19.38341194).epsilon(1e-6));
  CHECK(fit.f == doctest::Approx(4.5982661907).epsilon(1e-9));
  // R: pf(4.5982661907, 5, 24, lower = FALSE)
  CHECK(fit.f_probability == doctest::Approx(0.004398).epsilon(1e-3));
  CHECK(fit.icc == doctest::Approx(0.4184874149).epsilon(1e-9));
  CHECK(fit.icc_low == doctest::Approx(0.0838360507).epsilon(1e-7));
  CHECK(fit.icc_high == doctest::Approx(0.8478768155).epsilon(1e-7));
}

TEST_CASE(
    "variance components: Box and Tiao's data, where batches do not "
    "differ") {
  const VarianceComponents fit = variance_components(batches("dyestuff2.csv"));
  REQUIRE(fit.ok);
  // lme4: between 0, within 13.806, criterion 161.83.
  CHECK(fit.between_variance == 0);
  CHECK(fit.within_variance == doctest::Approx(13.80630963).epsilon(1e-8));
  CHECK(fit.criterion == doctest::Approx(161.82827781).epsilon(1e-9));
  CHECK(fit.f < 1);
  CHECK(fit.icc < 0);
}

TEST_CASE(
    "variance components: groups of different sizes, beside the dense "
    "definition") {
  const Groups groups = drawn({3, 12, 5, 1, 20, 7}, 1.5, 1.0, 0);
  const VarianceComponents fit = variance_components(groups);
  REQUIRE(fit.ok);
  CHECK(fit.criterion ==
        doctest::Approx(dense_criterion(
            groups, fit.between_variance, fit.within_variance)));
  // The definition is nowhere less around the answer.
  int compared = 0;
  for (const double b : {0.7, 0.95, 1.0, 1.05, 1.4}) {
    for (const double w : {0.8, 0.97, 1.0, 1.03, 1.3}) {
      CHECK(dense_criterion(groups,
                            b * fit.between_variance,
                            w * fit.within_variance) >= fit.criterion - 1e-7);
      ++compared;
    }
  }
  CHECK(compared == 25);
}

TEST_CASE("variance components: a known truth, and error rates") {
  const int runs = 400;
  const std::vector<int> sizes{4, 9, 6, 15, 8, 5, 11, 6, 7, 10};
  double between = 0;
  double within = 0;
  int false_alarms = 0;
  int found = 0;
  for (int run = 0; run < runs; ++run) {
    const VarianceComponents fit =
        variance_components(drawn(sizes, 2, 1, 100 + run));
    between += fit.between_variance / runs;
    within += fit.within_variance / runs;
    if (fit.f_probability < 0.05) ++found;
    if (variance_components(drawn(sizes, 0, 1, 5000 + run)).f_probability <
        0.05) {
      ++false_alarms;
    }
  }
  // Standard error of the mean of 400: 4 * sqrt(2 / 9) / 20 = 0.1 and 0.009.
  CHECK(between == doctest::Approx(4).epsilon(0.1));
  CHECK(within == doctest::Approx(1).epsilon(0.03));
  CHECK(found > 0.99 * runs);
  CHECK(false_alarms > 0.02 * runs);
  CHECK(false_alarms < 0.09 * runs);
}

TEST_CASE("variance components: bad input has a reason") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double inf = std::numeric_limits<double>::infinity();
  int refused = 0;
  for (const Groups& groups : {Groups{},
                               Groups{{1, 2, 3}},
                               Groups{{1, 2}, {}},
                               Groups{{1}, {2}, {3}},
                               Groups{{1, 1}, {2, 2}},
                               Groups{{1, nan}, {2, 3}},
                               Groups{{1, 2}, {inf, 3}}}) {
    const VarianceComponents fit = variance_components(groups);
    CHECK_FALSE(fit.ok);
    CHECK_FALSE(fit.message.empty());
    CHECK(std::isnan(fit.between_variance));
    ++refused;
  }
  CHECK(refused == 7);
  CHECK_THROWS_AS(variance_components(Groups{{1, 2}, {3, 4}}, 1.0),
                  std::logic_error);
  // An empty group changes nothing.
  CHECK(variance_components(Groups{{1, 2}, {}, {4, 6}}).criterion ==
        variance_components(Groups{{1, 2}, {4, 6}}).criterion);
}

TEST_CASE("least value above zero") {
  const auto bowl = [](double at) {
    return
        [at](double x) { return (std::log1p(x) - at) * (std::log1p(x) - at); };
  };
  CHECK(least_value_above_zero(bowl(std::log1p(3.7)), 1).at ==
        doctest::Approx(3.7).epsilon(1e-6));
  CHECK(least_value_above_zero(bowl(std::log1p(2e7)), 1).at ==
        doctest::Approx(2e7).epsilon(1e-6));
  CHECK(least_value_above_zero(bowl(-1), 1).at == 0);
  CHECK_THROWS_AS(least_value_above_zero(bowl(1), 0), std::logic_error);
}
