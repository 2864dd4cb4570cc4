// SPDX-License-Identifier: MIT
#include "report/chart_svg.h"

#include <cmath>
#include <limits>

#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {

TEST_CASE("an axis has round ticks within it") {
  using Ticks = std::vector<double>;
  CHECK(axis_ticks(0, 10, 5) == Ticks{0, 2, 4, 6, 8, 10});
  CHECK(axis_ticks(-3, 3, 5) == Ticks{-2, 0, 2});
  CHECK(axis_ticks(0, 0.5, 5) == Ticks{0, 0.1, 0.2, 0.3, 0.4, 0.5});
  CHECK(axis_ticks(641, 668, 5) == Ticks{650, 660});
  CHECK(axis_ticks(0.0012, 0.0049, 4) == Ticks{0.002, 0.003, 0.004});
  CHECK_FALSE(std::signbit(axis_ticks(-0.4, 3, 4).at(0)));  // no "-0"
  CHECK(axis_ticks(1, 1, 5).empty());
  CHECK(axis_ticks(2, 1, 5).empty());
  CHECK(axis_ticks(0, std::numeric_limits<double>::infinity(), 5).empty());
}

TEST_CASE("a chart shows every point by its verdict, and rings those beyond") {
  const TempDir folder("chart-svg");
  const ReportInput input =
      load_sample(folder, sample_tagged(), sample_summary());
  REQUIRE(input.charts.size() == 2);
  const std::string svg = chart_svg(input, input.charts[0]);
  // Four finite values: kept, under review, a mis-feed beyond its limit, kept.
  CHECK(occurrences(svg, "class=\"point keep\"") == 2);
  CHECK(occurrences(svg, "class=\"point review\"") == 1);
  CHECK(occurrences(svg, "class=\"point discard\"") == 1);
  CHECK(occurrences(svg, "class=\"beyond\"") == 1);
  CHECK(occurrences(svg, "<title>feed 3, discard: 400.0") == 2);
  CHECK(occurrences(svg, "class=\"centre-line\"") == 1);
  CHECK(occurrences(svg, "class=\"limit-line\"") == 2);
  CHECK(occurrences(svg, "class=\"warning-line\"") == 2);
  CHECK(occurrences(svg, "phase-baseline") == 1);
  CHECK(occurrences(svg, "phase-monitor") == 1);
  CHECK(occurrences(svg, "nan") == 0);
  // The axis says in what.
  CHECK(occurrences(svg, "text-anchor=\"end\">mm</text>") == 1);
  // One-sided and without a centre: no warning lines, nothing made up.
  const std::string joint = chart_svg(input, input.charts[1]);
  CHECK(occurrences(joint, "class=\"limit-line\"") == 1);
  CHECK(occurrences(joint, "class=\"warning-line\"") == 0);
  CHECK(occurrences(joint, "class=\"centre-line\"") == 0);
  CHECK(occurrences(joint, "text-anchor=\"end\">no unit</text>") == 1);
}

TEST_CASE("a phase is named where its name has room") {
  ReportInput input;
  ChartSeries chart;
  chart.chart = "individuals";
  chart.centre = 0;
  chart.lower.assign(48, kNotKnown);
  chart.upper.assign(48, kNotKnown);
  const auto named = [&](int warm_up) {
    input.feeds.clear();
    chart.feeds.clear();
    chart.values.clear();
    for (int i = 1; i <= 48; ++i) {
      JudgedFeed one;
      one.feed.number = i;
      one.phase = i <= warm_up ? "warm-up" : "baseline";
      input.feeds.push_back(one);
      chart.feeds.push_back(i);
      chart.values.push_back(i % 2);
    }
    const std::string svg = chart_svg(input, chart);
    CHECK(occurrences(svg, ">baseline<") == 1);
    return occurrences(svg, ">warm-up<") == 1;
  };
  CHECK_FALSE(named(7));  // 59 units for seven letters of 9
  CHECK(named(12));
}

TEST_CASE("limits that change from feed to feed are drawn as steps") {
  ChartSeries chart;
  chart.chart = "ewma";
  chart.centre = 0;
  chart.feeds = {1, 2, 3};
  chart.values = {0, 0, 0};
  chart.lower = {-1, -2, -2};
  chart.upper = {1, 2, 2};
  const std::string svg = chart_svg(ReportInput(), chart);
  // A piece, the step, and the piece of two feeds; above and below.
  CHECK(occurrences(svg, "class=\"limit-line\"") == 6);
}

TEST_CASE("a chart of nothing is an empty plot") {
  ChartSeries chart;
  chart.chart = "t2";
  CHECK(occurrences(chart_svg(ReportInput(), chart), "<path") == 0);
  chart.feeds = {1};
  chart.values = {kNotKnown};
  chart.lower = {kNotKnown};
  chart.upper = {kNotKnown};
  const std::string svg = chart_svg(ReportInput(), chart);
  CHECK(occurrences(svg, "<path") == 0);
  CHECK(occurrences(svg, "nan") == 0);
  CHECK(occurrences(svg, "inf") == 0);
}

}  // namespace evenfeed
