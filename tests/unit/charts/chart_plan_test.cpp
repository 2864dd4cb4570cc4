// SPDX-License-Identifier: MIT
#include "charts/chart_plan.h"

#include <algorithm>
#include <set>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const PlannedChart& named(const std::vector<PlannedChart>& charts,
                          const std::string& name) {
  const auto it =
      std::find_if(charts.begin(), charts.end(), [&](const PlannedChart& one) {
        return one.name == name;
      });
  REQUIRE(it != charts.end());
  return *it;
}

}  // namespace

TEST_CASE("chart plan: every chart has the run length that was asked for") {
  ChartPlanOptions options;
  options.run_length = 200;
  options.characteristics = 2;
  options.lambda = 0.1;
  options.shifts = {0, 0.5, 1, 2, 3};
  const ChartPlan plan = plan_charts(options);
  const auto& charts = plan.of_mean;
  std::set<std::string> names;
  for (const PlannedChart& one : charts) {
    CAPTURE(one.name);
    CHECK(names.insert(one.name).second);
    REQUIRE(one.run_lengths.size() == 5);
    CHECK(one.run_lengths[0] == doctest::Approx(200).epsilon(1e-3));
    CHECK(std::is_sorted(one.run_lengths.rbegin(), one.run_lengths.rend()));
    CHECK(one.centre < one.warning);
    CHECK(one.warning < one.action);
  }
  CHECK(names.size() == 6);
  REQUIRE(plan.of_spread.size() == 2);
  for (const PlannedChart& one : plan.of_spread) {
    REQUIRE(one.run_lengths.size() == 5);
    CHECK(one.run_lengths[0] == doctest::Approx(200).epsilon(1e-3));
    CHECK(std::is_sorted(one.run_lengths.rbegin(), one.run_lengths.rend()));
  }
  // Hawkins (1993) by way of R spc, Prabhu and Runger (1997), exact values.
  CHECK(named(charts, "CUSUM").action ==
        doctest::Approx(4.171316103).epsilon(1e-6));
  CHECK(named(charts, "MEWMA").action == doctest::Approx(8.6336).epsilon(1e-4));
  CHECK(named(charts, "MEWMA").run_lengths[2] ==
        doctest::Approx(10.121434).epsilon(1e-3));
  CHECK(named(charts, "T2").action == doctest::Approx(10.59663473));
  CHECK(named(charts, "T2").run_lengths[2] == doctest::Approx(41.91590229));
}

TEST_CASE("chart plan: what cannot be is refused") {
  ChartPlanOptions options;
  options.run_length = 1;
  CHECK_THROWS(plan_charts(options));
  options.run_length = 370;
  options.characteristics = 0;
  CHECK_THROWS(plan_charts(options));
  options.characteristics = 1;
  options.shifts = {-1};
  CHECK_THROWS(plan_charts(options));
  options.shifts = {};
  const ChartPlan plan = plan_charts(options);
  CHECK(plan.of_mean.size() == 6);
  CHECK(plan.of_spread.size() == 1);
}
