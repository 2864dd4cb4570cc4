// SPDX-License-Identifier: MIT
// A baseline that holds the tail of a settling is renewed.
#include "quality/qualification.h"
#include "support/launcher.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("renewed baseline: nearer to where the launcher comes to rest") {
  constexpr double kRest = 700;  // of x_mm, see launcher.h
  LauncherFault fault;
  fault.amplitude = 2;
  fault.tau = 20;
  double first = 0;
  double last = 0;
  int renewed = 0;
  int runs = 0;
  for (std::uint64_t k = 0; k < 12; ++k) {
    const SimulatedTrial trial = simulate_trial(fault, 100, 970 + k);
    const Qualification out = qualify(trial.table, {});
    if (!out.ready_at_feed) continue;
    ++runs;
    TrialTable until = trial.table;
    until.feeds.resize(static_cast<std::size_t>(*out.ready_at_feed));
    until.unmeasured.resize(until.feeds.size());
    until.values.conservativeResize(*out.ready_at_feed, Eigen::NoChange);
    until.sigmas.conservativeResize(*out.ready_at_feed, Eigen::NoChange);
    const Baseline then = qualify(until, {}).baseline;
    renewed += out.baseline.mean(0) != then.mean(0);
    first += std::abs(then.mean(0) - kRest);
    last += std::abs(out.baseline.mean(0) - kRest);
    // A chart has every monitored feed once, whatever baseline judged it.
    for (const ChartSeries& one : out.charts) {
      if (one.chart != "t2") continue;
      CHECK(static_cast<int>(one.feeds.size()) == 100 - *out.ready_at_feed);
      CHECK(std::adjacent_find(one.feeds.begin(),
                               one.feeds.end(),
                               std::greater_equal<>()) == one.feeds.end());
    }
  }
  CHECK(runs >= 9);
  CHECK(renewed >= runs / 3);
  CHECK(last < 0.9 * first);
}
