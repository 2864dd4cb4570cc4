// SPDX-License-Identifier: MIT
#include "stats/descriptive.h"

#include "base/random.h"
#include "stats/running_stats.h"
#include "support/statistics_data.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

// NIST/SEMATECH e-Handbook 6.3.2.2, flow rate.
const std::vector<double> kFlow{
    49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};

}  // namespace

TEST_CASE("flow rate data: classical and robust spread") {
  CHECK(mean(kFlow) == doctest::Approx(50.81).epsilon(1e-12));
  // R: sd, mad.
  CHECK(standard_deviation(kFlow) ==
        doctest::Approx(2.0338523928).epsilon(1e-9));
  CHECK(median_absolute_deviation(kFlow) ==
        doctest::Approx(2.00151).epsilon(1e-4));
}

TEST_CASE("copper data: one wild value among 24") {
  const auto chem = column_of(statistics_table("chem.csv"), "chem");
  REQUIRE(chem.size() == 24);
  CHECK(median(chem) == doctest::Approx(3.385));
  // MASS documentation: mad .526.
  CHECK(median_absolute_deviation(chem) ==
        doctest::Approx(0.526323).epsilon(1e-4));
  CHECK(standard_deviation(chem) > 5);  // what the wild value does to it
}

TEST_CASE("the median deviation estimates the sd of normal values") {
  int samples = 0;
  for (const int n : {13, 24, 41}) {
    double mad = 0;
    const int runs = 2000;
    for (int run = 0; run < runs; ++run) {
      auto engine = derived_engine(71, "robust scale", 100 * run + n);
      std::normal_distribution<double> normal(3, 2);
      std::vector<double> x(static_cast<std::size_t>(n));
      for (double& value : x) value = normal(engine);
      mad += median_absolute_deviation(x) / runs;
      ++samples;
    }
    CAPTURE(n);
    CHECK(mad == doctest::Approx(2).epsilon(0.06));
  }
  CHECK(samples == 6000);
}

TEST_CASE("bad input gives NaN, a constant has no spread") {
  int cases = 0;
  for (const std::vector<double>& bad : {std::vector<double>{},
                                         std::vector<double>{1, kNan, 2},
                                         std::vector<double>{kInf, 1, 2}}) {
    CHECK(std::isnan(mean(bad)));
    CHECK(std::isnan(standard_deviation(bad)));
    CHECK(std::isnan(median(bad)));
    CHECK(std::isnan(median_absolute_deviation(bad)));
    ++cases;
  }
  CHECK(cases == 3);
  const std::vector<double> one{4};
  CHECK(mean(one) == 4);
  CHECK(median(one) == 4);
  CHECK(std::isnan(standard_deviation(one)));
  const std::vector<double> constant(7, 2.5);
  CHECK(standard_deviation(constant) == 0);
  CHECK(median_absolute_deviation(constant) == 0);
  CHECK(finite_only(std::vector<double>{1, kNan, kInf, 2}) ==
        std::vector<double>{1, 2});
}

TEST_CASE("running statistics equal those of the batch at every step") {
  RunningStats running;
  CHECK(std::isnan(running.mean()));
  CHECK(std::isnan(running.sd()));
  CHECK(std::isnan(running.min()));
  std::vector<double> seen;
  int steps = 0;
  for (const double x : kFlow) {
    running.add(x);
    running.add(kNan);
    seen.push_back(x);
    CHECK(running.mean() == doctest::Approx(mean(seen)).epsilon(1e-13));
    if (seen.size() > 1) {
      CHECK(running.sd() ==
            doctest::Approx(standard_deviation(seen)).epsilon(1e-11));
    }
    ++steps;
  }
  CHECK(steps == 10);
  CHECK(running.count() == 10);
  CHECK(running.missing() == 10);
  CHECK(running.min() == 47.6);
  CHECK(running.max() == 53.6);
  RunningStats copy = running;
  copy.add(100);
  CHECK(running.count() == 10);
  CHECK(copy.max() == 100);
}
