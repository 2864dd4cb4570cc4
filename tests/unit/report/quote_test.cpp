// SPDX-License-Identifier: MIT
// The result as sentences to be copied.
#include "report/quote.h"

#include "base/version.h"
#include "pairing/words.h"
#include "report/page.h"
#include "report/pair_page.h"
#include "report/wear_page.h"
#include "support/worn_history.h"
#include "unit/pairing/invented_samples.h"

#include "session_sample.h"
#include <doctest/doctest.h>
#include <fmt/format.h>

namespace evenfeed {
namespace {

bool quote_has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

JudgedFeed returned(int number, double speed_mps) {
  JudgedFeed one;
  one.feed.number = number;
  one.verdict = "keep";
  one.feed.returned[static_cast<std::size_t>(ReturnValue::kSpeed)].value =
      speed_mps;
  return one;
}

}  // namespace

// By hand, as in sections_test.cpp: 4, 5, 6 have mean 5 and sd 1, and the
// interval reaches 2.484 to either side.
TEST_CASE(
    "a session's result can be quoted, with spread, interval and program") {
  ReportInput input;
  input.judged = input.ready = true;
  input.feeds = {returned(1, 4), returned(2, 5), returned(3, 6)};
  input.provenance.head.launcher = "bench-A";
  input.provenance.head.sample = "sheet K";
  input.provenance.head.started_at = *parse_date_time("2026-03-14T15:30");
  input.provenance.head.program_version = "9.8.7";
  input.baseline.sd = {{"x_mm", 23.14}, {"speed_in_mps", 0.0184}};
  CHECK(report_quote(input) ==
        "Launcher bench-A, sample sheet K, filmed 2026-03-14, evenfeed 9.8.7: "
        "ready; 3 of 3 feeds may be used. Spread from feed to feed (sd): "
        "landing along the table 23.1 mm, speed at the bounce 0.018 m/s. What "
        "came "
        "back (mean, 95 % interval, sd): speed after the sample 5.000 m/s "
        "(2.516 to 7.484; sd 1.000; 3 feeds).");
  // What was judged stands for what was only estimated.
  input.evenness.push_back({"x_mm", 30, 70});
  CHECK(quote_has(report_quote(input), "landing along the table 30.0 mm"));
  input.ready = false;
  CHECK(quote_has(report_quote(input), ": not ready; 3 of 3 feeds"));
  input.too_few = true;
  CHECK(quote_has(report_quote(input), ": not known yet whether ready;"));
  input.judged = false;
  CHECK(quote_has(report_quote(input), "9.8.7: 3 feeds, not judged."));
}

TEST_CASE("a comparison's result can be quoted, with its sources") {
  Samples samples;
  samples.all = {invented_sample("K", 50, 0.5, 1),
                 invented_sample("M", 50, 0, 2)};
  samples.characteristics = samples.all[0].characteristics;
  Outcomes outcomes;
  outcomes.all.push_back(
      number_outcome("ret_speed_mps",
                     {invented_outcome(samples.all[0], 0.01, 1, 0.3, 3),
                      invented_outcome(samples.all[1], 0.01, 0, 0.3, 4)}));
  PairInput input{compare(samples, outcomes, std::nullopt, {})};
  const std::string sentence =
      effect_sentence(input.comparison, input.comparison.effects[0]);
  const std::string whole =
      sentence + " " + matching_sentence(input.comparison);
  const std::string program =
      fmt::format(" Compared with evenfeed {}.", program_version());
  CHECK(pair_quote(input) == whole + program);
  input.sources.resize(2);
  input.sources[0].provenance.head.launcher = "bench-A";
  input.sources[1].provenance.head.program_version = "9.8.7";
  CHECK(pair_quote(input) == whole +
                                 " K: launcher bench-A; M: measured with "
                                 "evenfeed 9.8.7." +
                                 program);
}

TEST_CASE("a launcher's wear can be quoted") {
  WearHistory history = worn_history(false);
  const WearResult result = judge_wear(history, WearOptions());
  REQUIRE(result.of(Measure::kSpeed).alarm());
  const std::string quote = wear_quote(result);
  CHECK(quote.starts_with(
      "Launcher bench-A, 20 sessions from 2026-02-01 to 2026-02-20, 2000 "
      "feeds: "
      "Needs attention: speed at the bounce. Speed at the bounce: falls by "));
  CHECK(quote.ends_with(
      fmt::format(". Judged with evenfeed {}.", program_version())));
  history.sessions.clear();
  history.feeds = 0;
  CHECK(quote_has(wear_quote(judge_wear(history, WearOptions())),
                  "Launcher bench-A, 0 sessions, 0 feeds: No sessions yet."));
}

TEST_CASE("every page has its quotation as text that one click selects") {
  const TempDir folder("quote");
  const ReportInput input =
      load_sample(folder, sample_tagged(), sample_summary());
  CHECK(quote_has(report_page(input), quote_section(report_quote(input))));
  WearHistory none;
  none.launcher = "<b>";
  const WearResult result = judge_wear(none, WearOptions());
  CHECK(quote_has(wear_page(result), quote_section(wear_quote(result))));
  CHECK(quote_has(wear_page(result),
                  "<p class=\"quote\">Launcher &lt;b&gt;, 0 sessions"));
  CHECK(quote_has(wear_page(result), ".quote { user-select: all;"));
  PairInput pair;
  pair.comparison.samples = {invented_sample("K", 5, 0, 1),
                             invented_sample("M", 5, 0, 2)};
  pair.comparison.calipers.assign(10, 1);
  CHECK(quote_has(pair_page(pair), quote_section(pair_quote(pair))));
}

}  // namespace evenfeed
