// SPDX-License-Identifier: MIT
#include "quality/change_point.h"

#include "base/random.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Eigen::VectorXd one(double x) { return Eigen::VectorXd::Constant(1, x); }

// Definition, straight: D(t) for every t with sums from scratch.
int naive_change(const std::vector<Eigen::VectorXd>& x) {
  int best = 0;
  double most = -1;
  for (std::size_t t = 0; t < x.size(); ++t) {
    Eigen::VectorXd sum = Eigen::VectorXd::Zero(x[0].size());
    for (std::size_t i = t; i < x.size(); ++i) sum += x[i];
    const double m = static_cast<double>(x.size() - t);
    const double value = m * (sum / m).squaredNorm();
    if (value > most) {
      most = value;
      best = static_cast<int>(t);
    }
  }
  return best;
}

}  // namespace

TEST_CASE("change point: NIST CUSUM example 6.3.2.3") {
  // First signal at 14; the estimate says the change came after 12
  // (recomputed; statistic 15.5403125 / .635^2).
  const std::vector<double> x{324.925,
                              324.675,
                              324.725,
                              324.350,
                              325.350,
                              325.225,
                              324.125,
                              324.525,
                              325.225,
                              324.600,
                              324.625,
                              325.150,
                              328.325,
                              327.250};
  std::vector<Eigen::VectorXd> deviations;
  for (const double value : x) {
    deviations.push_back(one((value - 325) / 0.635));
  }
  const ChangePoint change = find_change(deviations);
  REQUIRE(change.ok);
  CHECK(change.last_before == 12);
  CHECK(change.statistic ==
        doctest::Approx(15.5403125 / (0.635 * 0.635)).epsilon(1e-9));
  CHECK(change.interval_first <= 12);
  CHECK(change.interval_last >= 12);
}

TEST_CASE("change point: accuracy after a 3-sigma signal") {
  const CsvTable table = statistics_table("changepoint_mle_mode0.csv");
  const auto delta = column_of(table, "delta");
  const auto exact = column_of(table, "p0");
  const auto within3 = column_of(table, "p_le3");
  const auto mean_estimate = column_of(table, "mean_tauhat");
  int rows = 0;
  for (std::size_t k = 0; k < delta.size(); ++k) {
    if (delta[k] != 1 && delta[k] != 2 && delta[k] != 3) continue;
    const int runs = 3000;
    int hits = 0;
    int near = 0;
    int covered = 0;
    double sum = 0;
    for (int run = 0; run < runs; ++run) {
      auto engine = derived_engine(111, "change", 10000 * k + run);
      std::normal_distribution<double> normal;
      std::vector<Eigen::VectorXd> x;
      while (x.size() < 100) x.push_back(one(normal(engine)));
      do {
        x.push_back(one(normal(engine) + delta[k]));
      } while (std::abs(x.back()(0)) <= 3);
      const ChangePoint change = find_change(x);
      hits += change.last_before == 100;
      near += std::abs(change.last_before - 100) <= 3;
      covered += change.interval_first <= 100 && change.interval_last >= 100;
      sum += change.last_before;
    }
    CAPTURE(delta[k]);
    // Four standard errors of 3000 runs.
    CHECK(std::abs(hits - exact[k] * runs) < 4 * std::sqrt(runs * 0.25));
    CHECK(std::abs(near - within3[k] * runs) < 4 * std::sqrt(runs * 0.25));
    CHECK(std::abs(sum / runs - mean_estimate[k]) < 1);
    MESSAGE("shift " << delta[k] << ": interval covers "
                     << 100.0 * covered / runs << " %");
    CHECK(covered > 0.85 * runs);
    ++rows;
  }
  CHECK(rows == 3);
}

TEST_CASE("change point: equals the definition, also for vectors") {
  for (int run = 0; run < 50; ++run) {
    auto engine = derived_engine(112, "naive", run);
    std::normal_distribution<double> normal;
    std::vector<Eigen::VectorXd> x;
    for (int i = 0; i < 40; ++i) {
      Eigen::VectorXd v(3);
      for (double& c : v) c = normal(engine) + (i >= 25 ? 0.7 : 0);
      x.push_back(v);
    }
    CHECK(find_change(x).last_before == naive_change(x));
  }
}

TEST_CASE("change point: a baseline that is a little off is no old change") {
  // 400 values 0.3 sd from the estimated mean, then 12 that are 1.5 sd off.
  int old = 0;
  int recent = 0;
  for (int run = 0; run < 100; ++run) {
    auto engine = derived_engine(113, "bias", run);
    std::normal_distribution<double> normal;
    std::vector<Eigen::VectorXd> x;
    for (int i = 0; i < 412; ++i) {
      x.push_back(one(normal(engine) + (i < 400 ? 0.3 : 1.5)));
    }
    old += find_change(x).last_before < 380;
    recent += std::abs(find_change(x, 0.9, 25).last_before - 400) <= 8;
  }
  CHECK(old > 60);
  CHECK(recent > 90);
}

TEST_CASE("change point: bad input") {
  CHECK_FALSE(find_change({}).ok);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(find_change({one(nan), one(nan)}).ok);
  const ChangePoint single = find_change({one(3)});
  CHECK(single.ok);
  CHECK(single.last_before == 0);
  const ChangePoint gap = find_change({one(0), one(nan), one(4), one(4)});
  CHECK(gap.last_before == 2);
  CHECK(find_change({one(0), one(0)}).ok);
  CHECK_THROWS(find_change({one(1)}, 1.5));
}
