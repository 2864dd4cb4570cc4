// SPDX-License-Identifier: MIT
#include "report/take_away.h"

#include <set>

#include "drawing_look.h"
#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

ReportInput named_sample(const TempDir& folder) {
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  input.provenance.head.launcher = "bench <A>";
  input.provenance.head.sample = "sheet K";
  return input;
}

}  // namespace

TEST_CASE("every map and chart becomes one file that stands alone") {
  const TempDir folder("take-away");
  const ReportInput input = named_sample(folder);
  std::set<std::string> names;
  for (const Drawing& one : session_drawings(input)) {
    CAPTURE(one.name);
    CHECK(names.insert(one.name).second);
    const std::string file = svg_file(one);
    CHECK(file.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""));
    CHECK(occurrences(file, "<svg") == occurrences(file, "</svg>"));
    CHECK(occurrences(file, "<a ") == 0);
    CHECK(occurrences(file, "var(") == 0);
    CHECK(occurrences(file, "class=\"heading\"") >= 1);
    // Broken into lines, so its words are looked for one by one.
    for (const char* word : {"&lt;A&gt;,", "sheet", "evenfeed", "keep;"}) {
      CHECK(file.find(word) != std::string::npos);
    }
  }
  CHECK(names ==
        std::set<std::string>{
            "landings", "surface", "chart-individuals-x-mm", "chart-t2"});
}

TEST_CASE("whatever is drawn has a look outside of the page too") {
  const TempDir folder("take-away-look");
  ReportInput input = named_sample(folder);
  input.landing_zone = LandingZone{{0.4, -0.2}, {0.9, 0.2}};
  int seen = 0;
  for (const Drawing& one : session_drawings(input)) {
    const DrawingLooks looks = looks_of(one.svg);
    CHECK(looks.unknown == std::set<std::string>());
    seen += looks.seen;
  }
  CHECK(seen > 50);
}

TEST_CASE("two charts of one kind are two files") {
  const TempDir folder("take-away-twice");
  ReportInput input = named_sample(folder);
  input.charts.push_back(input.charts.front());
  std::set<std::string> names;
  for (const Drawing& one : session_drawings(input)) names.insert(one.name);
  CHECK(names.contains("chart-individuals-x-mm--2"));
  CHECK(names.size() == 5);
}

TEST_CASE("a chart without a number is no file") {
  const TempDir folder("take-away-empty");
  ReportInput input = named_sample(folder);
  for (double& value : input.charts.front().values) value = kNotKnown;
  CHECK(session_drawings(input).size() == 3);
}

TEST_CASE("points of a chart lead to the pictures of their feeds") {
  const TempDir folder("take-away-links");
  ReportInput input = named_sample(folder);
  CHECK(occurrences(chart_drawing(input, input.charts[0]).svg, "<a ") == 0);
  input.pictures[3] = "\xFF\xD8\xFF";
  const std::string svg = chart_drawing(input, input.charts[0]).svg;
  CHECK(occurrences(svg, "<a href=\"#picture-3\" tabindex=\"-1\">") == 1);
  CHECK(occurrences(svg, "<a ") == 1);
  CHECK(occurrences(svg, "</a>") == 1);
}

}  // namespace evenfeed
