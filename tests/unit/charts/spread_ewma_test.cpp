// SPDX-License-Identifier: MIT
#include "charts/spread_ewma.h"

#include "base/random.h"

#include <cmath>
#include <initializer_list>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Simulated {
  double mean = 0;
  double error = 0;
};

Simulated simulate(const SpreadEwmaDesign& design, double ratio, int runs) {
  RandomEngine engine = derived_engine(42, "spread run length");
  std::normal_distribution<double> normal(0, ratio);
  double sum = 0;
  double squares = 0;
  for (int run = 0; run < runs; ++run) {
    SpreadEwmaChart chart(design);
    int length = 0;
    SpreadEwmaPoint point;
    do {
      double q = 0;
      for (int d = 0; d < design.degrees; ++d) {
        const double x = normal(engine);
        q += x * x;
      }
      point = chart.add(q);
      ++length;
    } while (!point.signal);
    sum += length;
    squares += static_cast<double>(length) * length;
  }
  const double mean = sum / runs;
  return {mean, std::sqrt((squares / runs - mean * mean) / runs)};
}

}  // namespace

TEST_CASE("EWMA of the variance: published run length") {
  // Knoth (2005), Statistics and Computing 15:341: 249.9997 for single values;
  // R spc 1.9: sewma.arl(.025, 0, cu, 1, df = 1) = 249.999729.
  CHECK(spread_ewma_run_length({0.025, 1.661865, 1}, 1) ==
        doctest::Approx(249.999729).epsilon(1e-5));
}

TEST_CASE("EWMA of the variance: simulated run lengths") {
  int tried = 0;
  for (const SpreadEwmaDesign& design :
       {SpreadEwmaDesign{0.1, 3, 1}, {0.2, 2.8, 4}, {1, 3, 2}}) {
    for (const double ratio : {0.9, 1.0, 1.5}) {
      CAPTURE(design.degrees);
      CAPTURE(ratio);
      const Simulated simulated = simulate(design, ratio, 1500);
      CHECK(std::abs(spread_ewma_run_length(design, ratio) - simulated.mean) <
            4 * simulated.error);
      ++tried;
    }
  }
  CHECK(tried == 9);
}

TEST_CASE("EWMA of the variance: width for a run length, misuse") {
  for (const int degrees : {1, 4}) {
    const double width = spread_ewma_width(0.1, degrees, 1000);
    CHECK(spread_ewma_run_length({0.1, width, degrees}, 1) ==
          doctest::Approx(1000).epsilon(1e-6));
  }
  CHECK_THROWS(spread_ewma_run_length({0, 3, 1}, 1));
  CHECK_THROWS(spread_ewma_run_length({0.1, 3, 0}, 1));
  CHECK_THROWS(spread_ewma_run_length({0.1, 3, 1}, 0));
  CHECK_THROWS(spread_ewma_width(0.1, 1, 1));
  SpreadEwmaChart chart({});
  CHECK_FALSE(chart.add(0).signal);
  CHECK(chart.last().value == doctest::Approx(0.9));
  CHECK(chart.add(std::numeric_limits<double>::quiet_NaN()).value ==
        chart.last().value);
  CHECK(chart.add(1000).signal);
  CHECK_THROWS(chart.add(-1));
}

TEST_CASE("spread EWMA: a value that is not known signals nothing") {
  SpreadEwmaChart chart({0.1, 2, 4});
  SpreadEwmaPoint point;
  for (int i = 0; i < 50; ++i) point = chart.add(40);
  REQUIRE(point.signal);
  const SpreadEwmaPoint held =
      chart.add(std::numeric_limits<double>::quiet_NaN());
  CHECK_FALSE(held.signal);
  CHECK(held.value == point.value);
  CHECK(chart.add(40).signal);
}
