// SPDX-License-Identifier: MIT
// What a page tells about the film and about what the sample sent back.
#include "report/provenance_section.h"
#include "report/returns_section.h"

#include <doctest/doctest.h>

namespace evenfeed {
namespace {

bool section_has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

JudgedFeed fed(int number, const char* verdict, double speed_mps) {
  JudgedFeed one;
  one.feed.number = number;
  one.verdict = verdict;
  one.feed.returned[static_cast<std::size_t>(ReturnValue::kSpeed)].value =
      speed_mps;
  return one;
}

}  // namespace

TEST_CASE("the page tells film, date, launcher, sample and program, escaped") {
  ReportInput input;
  CHECK(provenance_section(input).empty());
  Provenance& from = input.provenance;
  from.head.launcher = "bench <A>";
  from.head.sample = "sheet-K";
  from.head.started_at = *parse_date_time("2026-03-14T15:30");
  from.head.dated_by = kDatedByFile;
  from.head.source = {"/films/<script>.mp4", 5, "abcdef"};
  from.head.profile_name = "table-tennis";
  from.head.program_version = "9.8.7";
  from.settings = {{"wheel", "40"}};
  from.sample_properties = {{"hardness", "47"}, {"colour", "red & black"}};
  from.film = {1280, 720, 2880, 48};
  CHECK_FALSE(section_has(provenance_section(input), "Sound"));
  CHECK_FALSE(section_has(provenance_section(input), "Speed of the film"));
  from.film.clock_sd = 0.018;
  CHECK(section_has(provenance_section(input),
                    "Speed of the film</dt><dd>known to 1.8 %"));
  input.sound = "the film has <no> sound";
  const std::string html = provenance_section(input);
  CHECK(section_has(html, "Sound</dt><dd>the film has &lt;no&gt; sound"));
  CHECK(section_has(html, "bench &lt;A&gt;"));
  CHECK(section_has(html, "sheet-K"));
  CHECK(section_has(html,
                    "2026-03-14 15:30 UTC, when the file was last written"));
  CHECK(section_has(
      html, "&lt;script&gt;.mp4, 48.0 s, 1280 × 720 pixels, 60 frames"));
  CHECK_FALSE(section_has(html, "/films/"));
  CHECK(section_has(html, "abcdef"));
  CHECK(section_has(html, "evenfeed 9.8.7"));
  CHECK(section_has(html, "wheel = 40"));
  CHECK(section_has(html, "hardness = 47, colour = red &amp; black"));
  CHECK_FALSE(section_has(html, "Balls"));
}

// By hand: 4, 5, 6 have mean 5 and sd 1; the interval of the mean reaches
// t(0.975, 2) / sqrt(3) = 4.30265 / 1.73205 = 2.484 to either side.
TEST_CASE("means of what came back, with intervals, of the feeds kept") {
  ReportInput input;
  input.judged = true;
  input.feeds = {fed(1, "keep", 4),
                 fed(2, "keep", 5),
                 fed(3, "discard", 50),
                 fed(4, "keep", 6),
                 fed(5, "keep", kNotKnown)};
  input.alike = {{"ret_speed_mps", 0.0364}};
  const std::string html = returns_section(input);
  CHECK(section_has(html, "speed after the sample"));
  CHECK(section_has(
      html,
      "<td class=\"n\">5.000</td><td class=\"n\">2.516 to 7.484</td>"
      "<td class=\"n\">±&nbsp;0.036</td><td class=\"n\">1.000</td>"
      "<td class=\"n\">3</td>"));
  CHECK(section_has(html, "Of the feeds that may be used"));
  CHECK_FALSE(section_has(html, "highest point"));
  input.alike.clear();
  CHECK(section_has(returns_section(input), "not known"));
  // One value has no interval: there is nothing to say.
  input.feeds.resize(1);
  CHECK(returns_section(input).empty());
  CHECK(returns_section(ReportInput()).empty());
}

}  // namespace evenfeed
