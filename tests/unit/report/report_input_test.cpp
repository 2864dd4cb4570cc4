// SPDX-License-Identifier: MIT
#include "report/report_input.h"

#include "base/error.h"
#include "report/summary_reader.h"
#include "session/session_folder.h"

#include <cmath>

#include "session_sample.h"
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <sys/stat.h>

namespace evenfeed {
namespace {

// The message an InputError carries; empty when nothing was thrown.
template <typename Action>
std::string input_error(Action action) {
  try {
    action();
  } catch (const InputError& error) {
    return error.what();
  }
  return {};
}

bool says(const std::string& message, std::string_view part) {
  return message.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a whole session folder is read") {
  const TempDir folder("report-whole");
  const ReportInput input =
      load_sample(folder, sample_tagged(), sample_summary());
  CHECK_FALSE(input.bench);
  CHECK(input.judged);
  CHECK(input.ready);
  CHECK(input.ready_at_feed == 1);
  REQUIRE(input.feeds.size() == 5);
  CHECK(input.feeds[1].verdict == "review");
  CHECK(input.feeds[1].phase == "monitor");
  REQUIRE(input.feeds[1].reasons.size() == 2);
  CHECK(input.feeds[1].reasons[1] == "MEWMA 12.1 above 10.8");
  CHECK(input.feeds[4].feed.status == FeedStatus::kUnmeasured);
  CHECK(input.baseline.n == 20);
  CHECK(input.baseline.sd.at("y_mm") == 8);
  CHECK(input.baseline.correlation.at({"x_mm", "y_mm"}) == 0.5);
  REQUIRE(input.signals.size() == 1);
  CHECK(input.signals[0].changed_at_feed == 2);
  CHECK(input.signals[0].interval_last == 3);
  REQUIRE(input.gauges.size() == 2);
  CHECK(input.gauges[0].gauge.measurement_sd == doctest::Approx(5.1));
  CHECK(std::isnan(input.gauges[1].gauge.launcher_sd));
  REQUIRE(input.charts.size() == 2);
  CHECK(std::isnan(input.charts[0].values[4]));
  CHECK(std::isnan(input.charts[1].centre));
}

TEST_CASE("feeds that nobody judged are still shown") {
  const TempDir folder("report-plain");
  write_file_whole(folder / "feeds.csv", "feed,x_mm,y_mm\n1,600,10\n");
  const ReportInput input = load_report_input(folder.path());
  CHECK_FALSE(input.judged);
  REQUIRE(input.feeds.size() == 1);
  CHECK(input.feeds[0].verdict.empty());
}

TEST_CASE("every key of the summary may be missing") {
  const TempDir folder("report-bare-summary");
  const ReportInput input = load_sample(folder, sample_tagged(), "{}");
  CHECK(input.judged);
  CHECK_FALSE(input.ready);
  CHECK(input.charts.empty());
  CHECK(input.gauges.empty());
}

TEST_CASE("what cannot be read is refused by name") {
  const TempDir folder("report-refused");
  const auto with = [&](const std::string& summary) {
    return input_error([&] { load_sample(folder, sample_tagged(), summary); });
  };
  CHECK(says(with("{\"ready\": tru"), "summary.json"));
  CHECK(says(with("{\"ready\": 3}"), "summary.json: ready: is not true or"));
  CHECK(says(with("{\"baseline\": []}"), "baseline: is not an object"));
  CHECK(says(with("{\"charts\": {}}"), "charts: is not a list"));
  CHECK(says(with("{\"baseline\": {\"n\": \"x\"}}"), "baseline.n: is not"));
  CHECK(
      with("{\"ready\": null, \"signals\": [3], \"charts\": [null]}").empty());

  const TempDir nothing("report-nothing");
  CHECK(says(input_error([&] { load_report_input(nothing.path()); }),
             "neither tagged.csv nor feeds.csv"));
  CHECK(says(input_error([&] { load_report_input(nothing / "absent"); }),
             "there is no such folder"));
}

TEST_CASE("what the sound did is read, and may be missing") {
  ReportInput input;
  read_summary("{}", "summary.json", input);
  CHECK(input.sound.empty());
  read_summary(R"({"sound": {"used": true, "words": "48 of 50"}})",
               "summary.json",
               input);
  CHECK(input.sound == "48 of 50");
}

TEST_CASE("lists of unequal length end in the unknown") {
  ReportInput input;
  read_summary(R"({"charts": [{"chart": "ewma", "feeds": [1, 2, 3],
    "values": [1.5], "upper": [2, 2, 2, 2, 2]}]})",
               "summary.json",
               input);
  REQUIRE(input.charts.size() == 1);
  REQUIRE(input.charts[0].values.size() == 3);
  CHECK(input.charts[0].values[0] == 1.5);
  CHECK(std::isnan(input.charts[0].values[2]));
  CHECK(input.charts[0].lower.size() == 3);
  CHECK(input.charts[0].upper.size() == 3);
}

TEST_CASE("what stands in a folder and is no file, word or number is refused") {
  const TempDir folder("report-refused");
  REQUIRE(::mkfifo((folder / "tagged.csv").c_str(), 0600) == 0);
  CHECK_THROWS_WITH_AS(load_report_input(folder.path()),
                       doctest::Contains("this is a pipe"),
                       InputError);
  std::filesystem::remove(folder / "tagged.csv");
  CHECK_THROWS_WITH_AS(
      load_sample(folder, "feed,phase,verdict,reasons\n1,,maybe,\n", "{}"),
      doctest::Contains("tagged.csv:2, column 'verdict'"),
      InputError);
  CHECK_THROWS_WITH_AS(load_sample(folder,
                                   "feed,phase,verdict,reasons\n1,,keep,\n",
                                   "{\"baseline\":1e3000}"),
                       doctest::Contains("summary.json"),
                       InputError);
  const std::string nested =
      "{\"a\":" + std::string(100000, '[') + std::string(100000, ']') + "}";
  for (const std::string& summary : {std::string("[1, 2]"), nested}) {
    CHECK_THROWS_WITH_AS(
        load_sample(folder, "feed,phase,verdict,reasons\n1,,keep,\n", summary),
        doctest::Contains("is not JSON as evenfeed writes it"),
        InputError);
  }
}

}  // namespace evenfeed

namespace evenfeed {

TEST_CASE(
    "a page holds every doubtful picture, and kept ones while it is small") {
  const TempDir folder("many-pictures");
  std::string tagged = "feed,x_mm,status,phase,verdict,reasons\n";
  std::filesystem::create_directory(folder / "pictures");
  const std::string picture = "\xFF\xD8\xFF" + std::string(99'997, 'x');
  for (int i = 1; i <= 60; ++i) {
    tagged += fmt::format(
        "{},600,measured,monitor,{},\n", i, i % 10 == 0 ? "review" : "keep");
    write_file_whole(folder / feed_picture(i).string(), picture);
  }
  const ReportInput input = load_sample(folder, tagged, "{}");
  CHECK(input.pictures.size() == 50);
  CHECK(input.pictures_left_out == 10);
  for (int i = 10; i <= 60; i += 10) CHECK(input.pictures.contains(i));
}

}  // namespace evenfeed
