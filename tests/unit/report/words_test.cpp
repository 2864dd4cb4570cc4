// SPDX-License-Identifier: MIT
#include "report/words.h"

#include "report/chart_data.h"

#include <tuple>

#include <doctest/doctest.h>

namespace evenfeed {
namespace {

ReportInput judged(int keep, int review, int discard) {
  ReportInput input;
  input.judged = true;
  const auto add = [&](int count, const char* verdict) {
    for (int i = 0; i < count; ++i) {
      JudgedFeed one;
      one.feed.number = static_cast<int>(input.feeds.size()) + 1;
      one.verdict = verdict;
      input.feeds.push_back(one);
    }
  };
  add(discard, "discard");
  add(keep, "keep");
  add(review, "review");
  return input;
}

}  // namespace

TEST_CASE("the verdict comes first, in words") {
  ReportInput input = judged(20, 0, 4);
  input.ready = true;
  input.stable_from_feed = 5;
  input.ready_at_feed = 14;
  VerdictSentence said = verdict_sentence(input);
  CHECK(said.mood == Mood::kGood);
  CHECK(said.headline == "Ready.");
  CHECK(said.detail ==
        "Steady since feed 5, and sure of it at feed 14. 20 of 24 feeds may be "
        "used.");

  input = judged(20, 3, 4);
  input.ready = true;
  input.ready_at_feed = 14;
  Signal signal;
  signal.feed = 26;
  signal.changed_at_feed = 25;
  input.signals.push_back(signal);
  said = verdict_sentence(input);
  CHECK(said.mood == Mood::kCaution);
  CHECK(said.headline == "Ready, but something changed about feed 25.");
  CHECK(said.detail.find("3 are under review") != std::string::npos);

  input = judged(0, 0, 12);
  input.holding_back = {"landing along the table still drifts"};
  said = verdict_sentence(input);
  CHECK(said.mood == Mood::kBad);
  CHECK(said.headline == "Not ready.");
  CHECK(said.detail.find("Landing along the table still drifts.") !=
        std::string::npos);
  input.ready_at_feed = 5;
  CHECK(verdict_sentence(input).headline ==
        "No longer ready: it was at feed 5 and changed since.");
}

TEST_CASE("too few feeds are not called uneven") {
  ReportInput input = judged(0, 1, 0);
  input.too_few = true;
  input.holding_back = {
      "too few feeds to tell: 1 measured, at least 20 are needed"};
  const VerdictSentence said = verdict_sentence(input);
  CHECK(said.mood == Mood::kCaution);
  CHECK(said.headline == "Not known yet.");
  CHECK(said.detail ==
        "Too few feeds to tell: 1 measured, at least 20 are needed.");
}

TEST_CASE("a launcher that changed says what may be used, and how even it is") {
  ReportInput input = judged(402, 90, 8);
  input.ready_at_feed = 30;
  input.holding_back = {"it moved"};
  Evenness along;
  along.characteristic = "x_mm";
  along.sd = 23.1;
  along.allowed = 70;
  input.evenness.push_back(along);
  VerdictSentence said = verdict_sentence(input);
  CHECK(said.headline.find("No longer ready") == 0);
  CHECK(said.detail ==
        "402 of 500 feeds may be used all the same. It moved. Feeds scatter "
        "(sd) by 23.1 mm in landing along the table (70.0 mm allowed).");
  input.ready = true;
  input.evenness[0].allowed = kNotKnown;
  said = verdict_sentence(input);
  CHECK(
      said.detail.find("23.1 mm in landing along the table. Nothing was "
                       "asked of the spread: ready means steady, not even.") !=
      std::string::npos);
}

TEST_CASE("nothing found and nothing judged are said so") {
  CHECK(verdict_sentence(ReportInput()).headline == "No feed was found.");
  ReportInput input = judged(1, 0, 0);
  input.judged = false;
  CHECK(verdict_sentence(input).headline == "1 feed measured, not judged.");
}

TEST_CASE("a signal is one sentence") {
  Signal signal;
  signal.feed = 38;
  signal.chart = "mewma";
  signal.characteristic = "x_mm";
  signal.value = 12.1;
  signal.limit = 10.8;
  signal.changed_at_feed = 36;
  signal.interval_first = 34;
  signal.interval_last = 37;
  CHECK(signal_sentence(signal) ==
        "Feed 38: MEWMA 12.10, limit 10.80, mostly by landing along the table "
        "(mm); the change probably began at feed 36 (90 %: 34 to 37).");
  Signal bare;
  bare.feed = 2;
  bare.chart = "spread";
  CHECK(signal_sentence(bare) == "Feed 2: spread.");
}

TEST_CASE("gauge ratios in words") {
  CHECK(gauge_words(0.05) == "fine");
  CHECK(gauge_words(0.2) == "usable");
  CHECK(gauge_words(0.3).substr(0, 10) == "too coarse");
  CHECK(gauge_words(kNotKnown) == "not known");
}

TEST_CASE("charts are called by what they watch") {
  ChartSeries chart;
  chart.chart = "individuals";
  chart.characteristic = "x_mm";
  CHECK(chart_title(chart) == "landing along the table (mm): single feeds");
  CHECK(chart_unit(chart) == "mm");
  chart.chart = "moving_range";
  CHECK(chart_title(chart) ==
        "landing along the table (mm): from one feed to the next");
  chart.characteristic.clear();
  CHECK(chart_unit(chart) == "no unit");
  for (const auto& [kind, words, name] :
       {std::tuple{"t2", "all together: single feeds", "T²"},
        std::tuple{"mewma", "all together: lasting changes", "MEWMA"},
        std::tuple{
            "spread", "all together: how far feeds scatter", "spread"}}) {
    chart.chart = kind;
    CHECK(chart_title(chart) == words);
    CHECK(chart_name(chart.chart) == name);
  }
}

}  // namespace evenfeed
