// SPDX-License-Identifier: MIT
#include "report/page.h"

#include "report/landing_map.h"

#include "session_sample.h"
#include <doctest/doctest.h>

namespace evenfeed {
namespace {

int table_rows(const std::string& page) {
  const std::size_t start = page.find("<table id=\"feeds\">");
  REQUIRE(start != std::string::npos);
  const std::size_t end = page.find("</table>", start);
  return occurrences(page.substr(start, end - start), "<th scope=\"row\"");
}

bool has(const std::string& page, std::string_view part) {
  return page.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the whole page") {
  const TempDir folder("page-whole");
  const std::string page =
      report_page(load_sample(folder, sample_tagged(), sample_summary()));
  CHECK(table_rows(page) == 5);
  // Two maps with four landings each, none twice in one.
  CHECK(occurrences(page, " class=\"dot ") == 8);
  // Two charts, drawn: nothing on the page waits for a script.
  CHECK(occurrences(page, "class=\"centre-line\"") == 1);
  CHECK(occurrences(page, "class=\"limit-line\"") == 3);
  CHECK_FALSE(has(page, "<canvas"));
  CHECK(has(page,
            "From feed to feed (sd of 20 feeds of the stable stretch): "
            "landing along the table 30.0"));
  CHECK(occurrences(page, "<tr class=\"kept\">") == 2);
  CHECK(has(page, "Ready, but something changed about feed 2."));
  CHECK(has(page, "hidden by an arm"));
  CHECK(has(page, "640.0 ± 5.0"));
  CHECK(has(page, "the mean moved<br>MEWMA 12.1 above 10.8"));
  // In a person's words; the statistician's name smaller beside them.
  CHECK(has(page, "<figcaption>all together: single feeds <small>T²</small>"));
  // What every table is of, and nothing that waits to be opened on paper.
  CHECK(occurrences(page, "<table") == occurrences(page, "<caption>"));
  CHECK(has(page, "details::details-content { content-visibility: visible;"));
  CHECK(has(page, "addEventListener('beforeprint'"));
  CHECK(page.substr(0, 15) == "<!DOCTYPE html>");
  CHECK(page.substr(page.size() - 8) == "</html>\n");
}

TEST_CASE("how even the launcher is stands there once") {
  const TempDir folder("page-even");
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  Evenness along;
  along.characteristic = "x_mm";
  along.sd = 30;
  along.allowed = 70;
  input.evenness = {along};
  const std::string page = report_page(input);
  CHECK(has(page, "30.0 mm in landing along the table (70.0 mm allowed)"));
  CHECK_FALSE(has(page, "From feed to feed"));
  input.ready = false;
  input.holding_back = {
      "the spread of landing along the table is 91.0 mm (sd), allowed is 70.0 "
      "mm"};
  const std::string held_back = report_page(input);
  CHECK(has(held_back, "landing along the table is 91.0 mm"));
  CHECK_FALSE(has(held_back, "30.0 mm in landing along the table"));
}

TEST_CASE("a quantity has the same decimals wherever the page shows it") {
  const TempDir folder("page-decimals");
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  // In the table of feeds, beside the chart's point, in the table of spreads
  // and in the first line: nowhere with the digits of files.
  input.feeds[0].feed[Characteristic::kX] = {641.26, 5.26};
  input.feeds[0].feed[Characteristic::kSpeedIn] = {4.71234, 0.03456};
  input.baseline.sd["x_mm"] = 30.26;
  REQUIRE(input.gauges[0].characteristic == "x_mm");
  input.gauges[0].gauge.observed_sd = 30.26;
  const std::string page = report_page(input);
  CHECK(has(page, "641.3 ± 5.3"));
  CHECK(has(page, "4.712 ± 0.035"));
  CHECK(has(page, "landing along the table 30.3 mm"));
  CHECK(has(page, ">30.3</td>"));
  for (const char* finer : {"641.26 ", "4.7123 ", "30.26"}) {
    CHECK_MESSAGE(occurrences(page, finer) == 0, finer);
  }
}

TEST_CASE("the map's words are of what is drawn") {
  const TempDir folder("page-map");
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  const char* numbers = "Numbers are those of feeds to look at";
  const char* frame = "The dashed frame is the profile's landing zone";
  CHECK(landings_numbered(input));
  CHECK(has(report_page(input), numbers));
  // An edge among the landings, all about them, and far from them.
  input.landing_zone = LandingZone{{0.64, -9}, {9, 9}};
  CHECK(has(report_page(input), frame));
  input.landing_zone = LandingZone{{-9, -9}, {9, 9}};
  CHECK_FALSE(has(report_page(input), frame));
  input.landing_zone = LandingZone{{-9, -9}, {-8, -8}};
  CHECK_FALSE(has(report_page(input), frame));
  for (JudgedFeed& one : input.feeds) one.verdict = "keep";
  CHECK_FALSE(has(report_page(input), numbers));
}

TEST_CASE("a page out of a store names no files that do not lie beside it") {
  const TempDir folder("page-store");
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  CHECK(has(report_page(input), "beside this page"));
  CHECK_FALSE(has(report_page(input), "index.html"));
  input.of_store = true;
  CHECK_FALSE(has(report_page(input), "beside this page"));
  CHECK(has(report_page(input), "<a href=\"index.html\">All sessions</a>"));
}

// A column of reasons would be a word wide there.
TEST_CASE("on paper the reasons stand below the table") {
  const TempDir folder("page-paper");
  const std::string page =
      report_page(load_sample(folder, sample_tagged(), sample_summary()));
  const auto list = page.find("<ul class=\"on-paper\">");
  REQUIRE(list != std::string::npos);
  CHECK(page.find("hidden by an arm", list) != std::string::npos);
}

TEST_CASE("the page fetches nothing") {
  const TempDir folder("page-fetch");
  const std::string page =
      report_page(load_sample(folder, sample_tagged(), sample_summary()));
  for (const char* fetching : {"://",
                               "src=\"",
                               "href=\"",
                               "url(",
                               "@import",
                               "fetch(",
                               "<link",
                               "XMLHttpRequest",
                               "import("}) {
    CHECK_MESSAGE(occurrences(page, fetching) == 0, fetching);
  }
  CHECK(has(page, "default-src 'none'"));
}

TEST_CASE("pictures are in the page, and marks and rows lead to them") {
  const TempDir folder("page-pictures");
  make_folder(folder / "pictures");
  write_file_whole(folder / "pictures/feed-001.jpg", "\xFF\xD8\xFF one");
  write_file_whole(folder / "pictures/feed-003.jpg", "\xFF\xD8\xFF three");
  write_file_whole(folder / "pictures/feed-004.jpg", "no picture");
  write_file_whole(folder / "pictures/feed-009.jpg", "\xFF\xD8\xFF nobody's");
  const std::string page =
      report_page(load_sample(folder, sample_tagged(), sample_summary()));
  CHECK(has(page, "<section class=\"pictures\">"));
  CHECK(occurrences(page, "<figure id=\"picture-") == 2);
  CHECK(occurrences(page, "src=\"data:image/jpeg;base64,/9j/") == 2);
  CHECK(has(page, "<figure id=\"picture-1\" class=\"kept\">"));
  CHECK(has(page, "<figure id=\"picture-3\">"));
  // Twice in maps, twice in charts, once in the table.
  CHECK(occurrences(page, "href=\"#picture-1\"") == 5);
  CHECK(occurrences(page, "href=\"#picture-3\"") == 5);
  CHECK(occurrences(page, "href=\"#picture-") == 10);
  CHECK(has(page, "img-src data:"));
  CHECK_FALSE(has(page, "onerror=alert(2)>"));
  CHECK(occurrences(page, "<img") == 2);
}

TEST_CASE("hostile text stays text") {
  const TempDir folder("page-hostile");
  std::string summary = sample_summary();
  summary.replace(summary.find("\"characteristic\": \"x_mm\", \"centre\""),
                  24,
                  "\"characteristic\": \"</script><script>alert(3)//\"");
  ReportInput input = load_sample(folder, sample_tagged(), summary);
  input.title = "\"><svg onload=alert(4)>";
  const std::string page = report_page(input);
  CHECK_FALSE(has(page, "<script>alert"));
  CHECK_FALSE(has(page, "<img"));
  CHECK_FALSE(has(page, "<svg onload"));
  CHECK_FALSE(has(page, "a <b>warning"));
  CHECK(has(page, "&lt;script&gt;alert(1)"));
  CHECK(has(page, "a &lt;b&gt;warning"));
  CHECK(has(page, "&lt;/script&gt;&lt;script&gt;alert(3)"));
  // The page's own script, and no more.
  CHECK(occurrences(page, "<script") == 3);
  CHECK(occurrences(page, "</script>") == 3);
}

TEST_CASE("a long reason is written out once") {
  const TempDir folder("page-reason");
  const std::string reason(100, 'r');
  const std::string page = report_page(
      load_sample(folder,
                  "feed,phase,verdict,reasons\n1,monitor,review," + reason +
                      "\n2,monitor,review," + reason +
                      "\n3,monitor,review,short\n4,monitor,review,short\n",
                  "{}"));
  // In the table and, for paper, below it.
  CHECK(occurrences(page, reason) == 2);
  CHECK(occurrences(page, "as for feed 1") == 2);
  CHECK(occurrences(page, ">short<") == 2);
}

TEST_CASE("a page for little") {
  const TempDir folder("page-little");
  SUBCASE("no feed at all") {
    const std::string page =
        report_page(load_sample(folder, kTaggedHeader, ""));
    CHECK(table_rows(page) == 0);
    CHECK(has(page, "No feed was found."));
    CHECK_FALSE(has(page, "<canvas"));
  }
  SUBCASE("one feed with nothing but its number") {
    const std::string page =
        report_page(load_sample(folder,
                                "feed,phase,verdict,reasons\n1,monitor,keep,\n",
                                sample_summary()));
    CHECK(table_rows(page) == 1);
    CHECK(has(page, "<b>1</b> feed</li>"));
    CHECK(occurrences(page, " class=\"dot ") == 0);
  }
  SUBCASE("only feeds that could not be measured") {
    const std::string page = report_page(
        load_sample(folder,
                    "feed,status,note,phase,verdict,reasons\n"
                    "1,unmeasured,too few sightings,monitor,review,\n"
                    "2,unmeasured,cut off,monitor,review,\n",
                    "{}"));
    CHECK(table_rows(page) == 2);
    CHECK(has(page, "too few sightings"));
    CHECK_FALSE(has(page, "nan"));
  }
}

TEST_CASE("what is explained is what stands on the page") {
  const TempDir folder("page-guide");
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  const std::string whole = report_page(input);
  CHECK(has(whole, "<b>keep</b>: belongs to the stable process"));
  CHECK(has(whole, "<b>Single feeds</b> (T²)"));
  CHECK(has(whole, "A limit is not a wall"));
  CHECK_FALSE(has(whole, "<b>How far feeds scatter</b>"));
  // Four feeds have no process that they could belong to.
  input.ready = false;
  input.too_few = true;
  for (JudgedFeed& one : input.feeds) one.phase = "warm-up";
  input.charts.pop_back();
  const std::string few = report_page(input);
  CHECK_FALSE(has(few, "belongs to the stable process"));
  CHECK(has(few, "there are too few feeds to tell"));
  CHECK_FALSE(has(few, "<b>Single feeds</b> (T²)"));
  CHECK_FALSE(has(few, "A limit is not a wall"));
  CHECK(has(few, "those of the few feeds there are"));
  CHECK_FALSE(has(few, "shaded band"));
  input.charts.clear();
  CHECK_FALSE(has(report_page(input), "those of the few feeds there are"));
  input.judged = false;
  CHECK_FALSE(has(report_page(input), "<b>review</b>"));
}

TEST_CASE("a baseline that was renewed is told from the band of the first") {
  const TempDir folder("page-bands");
  ReportInput input = load_sample(folder, sample_tagged(), sample_summary());
  // One feed of the phase, 20 in the baseline.
  CHECK(has(report_page(input),
            "The shaded band is the baseline. The baseline's band is the first "
            "one, of 1 feed; it was renewed since"));
  CHECK(has(report_page(input), "is the last one, of 20 feeds."));
  input.baseline.n = 1;
  CHECK_FALSE(has(report_page(input), "it was renewed since"));
  input.feeds[1].phase = "warm-up";
  CHECK(has(report_page(input),
            "The shaded bands are the warm-up and the baseline.</p>"));
}

}  // namespace evenfeed
