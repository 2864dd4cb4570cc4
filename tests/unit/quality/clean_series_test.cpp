// SPDX-License-Identifier: MIT
#include "quality/clean_series.h"

#include "base/random.h"
#include "stats/distributions.h"

#include <cmath>
#include <random>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kFeeds = 60;

// How often a bend is seen at the level of 5 % where each feed remembers the
// one before, and nothing bends.
double bends_seen(double memory) {
  constexpr int kRuns = 400;
  int seen = 0;
  for (std::uint64_t run = 0; run < kRuns; ++run) {
    RandomEngine engine = derived_engine(31, "bend", run);
    std::normal_distribution<double> normal;
    std::vector<double> values;
    double before = normal(engine);
    for (int i = 0; i < kFeeds; ++i) {
      before =
          memory * before + std::sqrt(1 - memory * memory) * normal(engine);
      values.push_back(before);
    }
    seen += std::abs(CleanSeries(values).bend(0, kFeeds - 1).t) >
            student_t_quantile(0.975, kFeeds - 3);
  }
  return static_cast<double>(seen) / kRuns;
}

}  // namespace

TEST_CASE("clean series: a bend by chance, where feeds remember or do not") {
  CHECK(bends_seen(0) < 0.08);
  CHECK(bends_seen(0) > 0.02);
  // Taken for independent: 37 % of them.
  CHECK(bends_seen(0.6) < 0.15);
}

TEST_CASE("clean series: a bend is seen beside a slope") {
  std::vector<double> values;
  for (int i = 0; i < kFeeds; ++i) {
    const double t = i / 30.0 - 1;
    values.push_back(2 * t * t + 5 * t + (i % 2 == 0 ? 0.3 : -0.3));
  }
  CHECK(CleanSeries(values).bend(0, kFeeds - 1).t > 8);
}
