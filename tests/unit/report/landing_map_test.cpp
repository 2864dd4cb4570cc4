// SPDX-License-Identifier: MIT
#include "report/landing_map.h"

#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

JudgedFeed landed(int number, double x_mm, double y_mm) {
  JudgedFeed one;
  one.feed.number = number;
  one.feed.status = FeedStatus::kMeasured;
  one.feed[Characteristic::kX].value = x_mm;
  one.feed[Characteristic::kY].value = y_mm;
  one.verdict = "keep";
  return one;
}

}  // namespace

TEST_CASE("as many marks as landings, shaped by verdict") {
  const TempDir folder("map-marks");
  const ReportInput input =
      load_sample(folder, sample_tagged(), sample_summary());
  for (const std::string& map : {whole_map(input), close_up_map(input)}) {
    // Five feeds, one of them not measured.
    CHECK(occurrences(map, "class=\"dot ") == 4);
    CHECK(occurrences(map, "class=\"dot keep\"") == 1);
    CHECK(occurrences(map, "class=\"dot keep computed\"") == 1);
    CHECK(occurrences(map, "class=\"dot review\"") == 1);
    CHECK(occurrences(map, "class=\"dot discard\"") == 1);
    CHECK(occurrences(map, "class=\"painted\"") == 5);
    CHECK(occurrences(map, "class=\"net\"") == 1);
  }
  const std::string close_up = close_up_map(input);
  CHECK(occurrences(close_up, "class=\"measured\"") == 3);
  CHECK(occurrences(close_up, "class=\"baseline\"") == 1);
}

TEST_CASE("the table is drawn to scale") {
  ReportInput input;
  input.surface.emplace();
  input.surface->length_m = 2;
  input.surface->width_m = 1;
  input.feeds.push_back(landed(1, 500, 250));
  const std::string map = whole_map(input);
  // Margins of 8 % of the length: 2320 mm are 1000 wide, so the 2 m x 1 m
  // surface starts at 68.97 and is 862.07 by 431.03; +y is up.
  CHECK(map.find("viewBox=\"0 0 1000.00 568.97\"") != std::string::npos);
  CHECK(map.find("x=\"68.97\" y=\"68.97\" width=\"862.07\" "
                 "height=\"431.03\"") != std::string::npos);
  // The landing: (1160 + 500) * 0.431034 = 715.52 and (660 - 250) *
  // 0.431034 = 176.72.
  CHECK(map.find("cx=\"715.52\" cy=\"176.72\"") != std::string::npos);
}

TEST_CASE("the baseline's ellipse") {
  ReportBaseline baseline;
  baseline.n = 20;
  baseline.mean = {{"x_mm", 650}, {"y_mm", 80}};
  baseline.sd = {{"x_mm", 30}, {"y_mm", 8}};
  const auto ellipse = baseline_ellipse(baseline);
  REQUIRE(ellipse);
  CHECK(ellipse->centre.x() == 650);
  CHECK(ellipse->semi_major ==
        doctest::Approx(30 * std::sqrt(prediction_factor(0.95, 20))));
  baseline.correlation[{"y_mm", "x_mm"}] = 0.9;
  CHECK(baseline_ellipse(baseline)->semi_minor < ellipse->semi_minor);
  baseline.provisional = true;
  CHECK_FALSE(baseline_ellipse(baseline));
  baseline.provisional = false;
  baseline.sd.erase("y_mm");
  CHECK_FALSE(baseline_ellipse(baseline));
  CHECK_FALSE(baseline_ellipse(ReportBaseline()));
}

TEST_CASE("nothing, one feed and a far one are drawn without a fault") {
  ReportInput input;
  CHECK(occurrences(close_up_map(input), "class=\"dot ") == 0);
  input.feeds.push_back(landed(1, 500, 0));
  CHECK(occurrences(close_up_map(input), "class=\"dot ") == 1);
  input.surface = table_tennis();
  input.feeds.push_back(landed(2, 1e7, 0));
  CHECK(landings_off_map(input) == 1);
  CHECK(occurrences(whole_map(input), "class=\"dot ") == 1);
  CHECK(occurrences(close_up_map(input), "class=\"dot ") == 1);
}

}  // namespace evenfeed
