// SPDX-License-Identifier: MIT
#include "base/error.h"
#include "base/nan.h"
#include "quality/qualification.h"
#include "quality/summary_file.h"
#include "support/launcher.h"

#include <algorithm>
#include <cmath>
#include <set>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

// A trial with a mis-feed at 50, a feed not measured at 55, a value not known
// at 58 and a shift of x_mm by 3 sd from feed 71.
SimulatedTrial eventful() {
  SimulatedTrial trial = simulate_trial({}, 90, 7);
  trial.table.values(49, 1) += 250;
  trial.table.values.row(54).setConstant(kNaN);
  trial.table.unmeasured[54] = "hidden; by an arm";
  trial.table.values(57, 2) = kNaN;
  for (int i = 70; i < 90; ++i) trial.table.values(i, 0) += 3 * 35;
  trial.table.sigmas.col(0).setConstant(14);
  return trial;
}

CsvTable csv_of(const TrialTable& table) {
  std::vector<std::string> header{"feed", "note"};
  for (const auto& name : table.characteristics) header.push_back(name);
  CsvWriter out(header);
  for (int i = 0; i < table.rows(); ++i) {
    std::vector<std::string> row{
        std::to_string(table.feeds[static_cast<std::size_t>(i)]), "a, b"};
    for (int j = 0; j < table.columns(); ++j) {
      row.push_back(csv_number(table.values(i, j), 4));
    }
    out.add_row(row);
  }
  return CsvTable::parse(out.text(), "feeds.csv");
}

const FeedTag& tag(const Qualification& out, int feed) {
  return out.tags[static_cast<std::size_t>(feed - 1)];
}

bool says(const FeedTag& tag, const std::string& part) {
  return std::any_of(
      tag.reasons.begin(), tag.reasons.end(), [&](const std::string& one) {
        return one.find(part) != std::string::npos;
      });
}

}  // namespace

TEST_CASE("qualify: an eventful trial, judged in plain words") {
  const Qualification out = qualify(eventful().table, {});
  REQUIRE(out.ready_at_feed.has_value());
  CHECK(*out.ready_at_feed < 45);
  CHECK(*out.stable_from_feed >= 1);
  CHECK_FALSE(out.ready);  // it has moved since
  REQUIRE_FALSE(out.holding_back.empty());
  CHECK(out.holding_back[0].find("landing along the table has moved by "
                                 "+") == 0);
  CHECK(tag(out, 50).verdict == Verdict::kDiscard);
  CHECK(says(tag(out, 50), "mis-feed: landing across the table"));
  CHECK(says(tag(out, 50), "limits"));
  CHECK(tag(out, 50).t2 > tag(out, 50).t2_limit);
  CHECK(tag(out, 55).verdict == Verdict::kDiscard);
  CHECK(says(tag(out, 55), "not measured: hidden"));
  CHECK(std::isnan(tag(out, 55).t2));
  CHECK(tag(out, 58).verdict == Verdict::kKeep);
  CHECK(says(tag(out, 58), "judged without speed_in_mps"));
  CHECK(std::isfinite(tag(out, 58).t2));
  CHECK(tag(out, 58).t2_limit < tag(out, 57).t2_limit);  // one fewer
  for (int feed = 74; feed <= 90; ++feed) {
    CHECK(tag(out, feed).verdict != Verdict::kKeep);
  }
  CHECK(tag(out, *out.ready_at_feed).phase == Phase::kBaseline);
  CHECK(tag(out, 90).phase == Phase::kMonitor);
  CHECK(out.count(Verdict::kKeep) + out.count(Verdict::kReview) +
            out.count(Verdict::kDiscard) ==
        90);
}

TEST_CASE("qualify: one cause is one signal") {
  const Qualification out = qualify(eventful().table, {});
  int lasting = 0;
  int at_misfeed = 0;
  int single_later = 0;
  for (const Signal& one : out.signals) {
    const bool single = one.chart == "t2" || one.chart == "individuals";
    if (single && one.feed == 50) ++at_misfeed;
    if (single && one.feed > 70) ++single_later;
    if (single) continue;
    ++lasting;
    CHECK(one.characteristic == "x_mm");
    CHECK(one.feed <= 78);
    CHECK(std::abs(one.changed_at_feed - 71) <= 2);
    CHECK(one.interval_first <= 71);
    CHECK(one.interval_last >= 71);
    CHECK(std::abs(one.value) > 0);
  }
  CHECK(lasting == 1);
  CHECK(at_misfeed == 1);
  CHECK(single_later == 0);
}

TEST_CASE("qualify: feed by feed gives what the whole file gives") {
  const TrialTable table = eventful().table;
  Qualifier stream(table.characteristics, {});
  int compared = 0;
  for (int i = 0; i < table.rows(); ++i) {
    stream.add(trial_row(table, i));
    if (i % 9 != 0 && i != table.rows() - 1) continue;
    TrialTable prefix = table;
    prefix.feeds.resize(static_cast<std::size_t>(i + 1));
    prefix.unmeasured.resize(static_cast<std::size_t>(i + 1));
    prefix.values.conservativeResize(i + 1, Eigen::NoChange);
    prefix.sigmas.conservativeResize(i + 1, Eigen::NoChange);
    CHECK(summary_text(stream.result()) == summary_text(qualify(prefix, {})));
    ++compared;
  }
  CHECK(compared == 11);
}

TEST_CASE("qualify: tagged.csv keeps the columns as they were") {
  const TrialTable table = eventful().table;
  const CsvTable feeds = csv_of(table);
  const Qualification out = qualify(table, {});
  const CsvTable tagged = CsvTable::parse(tagged_text(feeds, out), "tagged");
  REQUIRE(tagged.rows() == feeds.rows());
  const std::vector<std::string> expected{"feed",
                                          "note",
                                          "x_mm",
                                          "y_mm",
                                          "speed_in_mps",
                                          "descent_deg",
                                          "phase",
                                          "verdict",
                                          "reasons",
                                          "t2",
                                          "t2_limit",
                                          "mewma",
                                          "mewma_limit",
                                          "z_x_mm",
                                          "z_y_mm",
                                          "z_speed_in_mps",
                                          "z_descent_deg"};
  CHECK(tagged.header() == expected);
  std::set<std::string> phases;
  for (std::size_t r = 0; r < tagged.rows(); ++r) {
    for (std::size_t c = 0; c < feeds.header().size(); ++c) {
      CHECK(tagged.text(r, c) == feeds.text(r, c));
    }
    phases.insert(tagged.text(r, tagged.require_column("phase")));
  }
  CHECK(phases.count("baseline") == 1);
  CHECK(phases.count("monitor") == 1);
  // ';' separates reasons, so there is none inside one.
  CHECK(tagged.text(54, tagged.require_column("reasons"))
            .find("hidden, by an arm") != std::string::npos);
  // Judging the tagged file again replaces the tags.
  CHECK(tagged_text(tagged, out) == tagged_text(feeds, out));
  CHECK_THROWS_AS(tagged_text(CsvTable::parse("feed\n1\n", "x"), out),
                  std::logic_error);
}

TEST_CASE("qualify: summary.json tells what sound did, where it was heard") {
  Qualification out = qualify(eventful().table, {});
  out.sound.emplace();
  out.sound->bounces = 90;
  out.sound->words = "silent";
  auto json = nlohmann::json::parse(summary_text(out))["sound"];
  CHECK(json["used"] == false);
  CHECK(json["late_ms"].is_null());
  CHECK(json["words"] == "silent");
  out.sound->used = true;
  out.sound->heard = 88;
  out.sound->late_ms = 80.5;
  out.sound->drift_ppm = 30;
  out.sound->sx_seen_mm = 3.1;
  out.sound->sx_mm = 1.2;
  json = nlohmann::json::parse(summary_text(out))["sound"];
  CHECK(json["used"] == true);
  CHECK(json["bounces"] == 90);
  CHECK(json["heard"] == 88);
  CHECK(json["late_ms"] == 80.5);
  CHECK(json["drift_ppm"] == 30);
  CHECK(json["sx_seen_mm"] == 3.1);
  CHECK(json["sx_mm"] == 1.2);
}

TEST_CASE("qualify: summary.json as the design has it") {
  const Qualification out = qualify(eventful().table, {});
  const auto json = nlohmann::json::parse(summary_text(out));
  CHECK(json["ready"] == false);
  CHECK(json["ready_at_feed"] == *out.ready_at_feed);
  CHECK(json["stable_from_feed"] == *out.stable_from_feed);
  CHECK(json["feeds"] == 90);
  CHECK(json["baseline"]["n"] == out.baseline.n);
  CHECK(json["baseline"]["mean"]["x_mm"].get<double>() ==
        doctest::Approx(700).epsilon(0.05));
  CHECK(json["baseline"]["sd"].size() == 4);
  CHECK(json["baseline"]["correlation"].size() == 4);
  CHECK(json["gauge"]["x_mm"].get<double>() ==
        doctest::Approx(14 / out.baseline.sd()(0)));
  CHECK(json["gauge"]["y_mm"].is_null());
  CHECK(json["counts"]["keep"].get<int>() == out.count(Verdict::kKeep));
  CHECK(json["signals"].size() == out.signals.size());
  CHECK(json["signals"][0]["interval"].size() == 2);
  CHECK(json["warnings"].size() > 0);
  CHECK_FALSE(json.contains("sound"));
  std::set<std::string> charts;
  for (const auto& chart : json["charts"]) {
    charts.insert(chart["chart"]);
    CHECK(chart["feeds"].size() == chart["values"].size());
    CHECK(chart["feeds"].size() == chart["upper"].size());
    CHECK(chart["feeds"].size() == chart["lower"].size());
  }
  CHECK(charts ==
        std::set<std::string>{
            "individuals", "moving_range", "ewma", "t2", "mewma", "spread"});
}

TEST_CASE("qualify: never ready") {
  LauncherFault fault;
  fault.drift = 0.4;
  const Qualification out = qualify(simulate_trial(fault, 40, 8).table, {});
  CHECK_FALSE(out.ready);
  CHECK_FALSE(out.ready_at_feed.has_value());
  CHECK_FALSE(out.stable_from_feed.has_value());
  CHECK(out.baseline_provisional);
  CHECK(out.holding_back[0].find("landing along the table still moves by") !=
        std::string::npos);
  CHECK(out.count(Verdict::kReview) == 40);
  CHECK(out.signals.empty());
  for (const FeedTag& one : out.tags) {
    CHECK(one.phase == Phase::kWarmUp);
    CHECK(std::isfinite(one.z[0]));
  }
}

TEST_CASE("qualify: settling feeds are discarded as warm-up") {
  LauncherFault fault;
  fault.amplitude = 10;
  fault.tau = 5;
  const Qualification out = qualify(simulate_trial(fault, 90, 9).table, {});
  REQUIRE(out.ready_at_feed.has_value());
  CHECK(*out.stable_from_feed > 5);
  CHECK(tag(out, 1).phase == Phase::kWarmUp);
  CHECK(tag(out, 1).verdict == Verdict::kDiscard);
  CHECK(says(tag(out, 1), "warm-up: the launcher was stable only from feed"));
  CHECK(tag(out, 1).z[0] > 4);
}

TEST_CASE("qualify: against a given baseline") {
  const Qualification first = qualify(simulate_trial({}, 60, 10).table, {});
  REQUIRE(first.baseline.ok);
  const Qualification same =
      qualify(simulate_trial({}, 40, 11).table, {}, first.baseline);
  CHECK(same.baseline_given);
  CHECK(same.ready);
  CHECK(*same.ready_at_feed == 10);
  CHECK(same.tags[0].phase == Phase::kMonitor);
  CHECK(std::isfinite(same.tags[0].mewma));
  TrialTable moved = simulate_trial({}, 40, 12).table;
  for (int i = 0; i < 40; ++i) moved.values(i, 1) += 3 * 18;
  const Qualification other = qualify(moved, {}, first.baseline);
  CHECK_FALSE(other.ready);
  CHECK(other.signals.back().characteristic == "y_mm");
  CHECK(other.signals.back().changed_at_feed <= 2);
  TrialTable fewer = moved;
  fewer.characteristics = {"a", "b", "c", "d"};
  CHECK_THROWS_AS(qualify(fewer, {}, first.baseline), UsageError);
  const Qualification few =
      qualify(simulate_trial({}, 5, 13).table, {}, first.baseline);
  CHECK_FALSE(few.ready);
  CHECK(few.holding_back[0].find("too few feeds to tell") == 0);
}

TEST_CASE("qualify: degenerate trials end in a verdict, never in a fault") {
  int judged = 0;
  for (const int feeds : {0, 1, 2, 19, 20, 60}) {
    for (const int kind : {0, 1, 2, 3}) {
      TrialTable table = simulate_trial({}, feeds, 20).table;
      if (kind == 1) table.values.setConstant(kNaN);
      if (kind == 2) table.values.setConstant(3);
      if (kind == 3) table.values.col(1) = table.values.col(0);
      const Qualification out = qualify(table, {});
      CHECK(out.tags.size() == static_cast<std::size_t>(feeds));
      CHECK(out.ready == out.holding_back.empty());
      CHECK_FALSE(summary_text(out).empty());
      if (kind == 1 && feeds > 0) {
        CHECK(out.count(Verdict::kDiscard) == feeds);
      }
      ++judged;
    }
  }
  CHECK(judged == 24);
}

TEST_CASE("qualify: a launcher that scatters too far is not ready") {
  const SimulatedTrial trial = simulate_trial({}, 80, 12);
  QualityOptions options;
  options.tolerances = {{"x_mm", kNaN, 20}, {"y_mm", kNaN, 60}};
  const Qualification wide = qualify(trial.table, options);
  CHECK_FALSE(wide.ready);
  REQUIRE_FALSE(wide.holding_back.empty());
  CHECK(wide.holding_back[0].find("allowed is 20.0 mm") != std::string::npos);
  CHECK(qualify(trial.table, options.without_limits()).ready);
  const Qualification even = qualify(trial.table, {});
  REQUIRE(even.evenness.size() == 4);
  CHECK(even.evenness[0].characteristic == "x_mm");
  CHECK(even.evenness[0].sd == doctest::Approx(35).epsilon(0.3));
  CHECK(even.evenness[0].low < even.evenness[0].sd);
  CHECK(even.evenness[0].high > even.evenness[0].sd);
  CHECK(std::isnan(even.evenness[0].allowed));
  CHECK(options.allowed_spread("y_mm") == 60);
  CHECK(std::isnan(options.allowed_spread("kick")));
  // Against a baseline of another day the limit holds too.
  const Baseline wider = qualify(simulate_trial({}, 60, 13).table, {}).baseline;
  const Qualification given = qualify(trial.table, options, wider);
  CHECK_FALSE(given.ready);
  REQUIRE_FALSE(given.holding_back.empty());
  CHECK(given.holding_back[0].find("the spread of landing along") == 0);
  CHECK(qualify(trial.table, options.without_limits(), wider).ready);
}

TEST_CASE("qualify: too few feeds are not known yet") {
  CHECK(qualify(simulate_trial({}, 9, 14).table, {}).too_few);
  CHECK_FALSE(qualify(simulate_trial({}, 60, 14).table, {}).too_few);
  LauncherFault fault;
  fault.drift = 0.3;
  const Qualification moving = qualify(simulate_trial(fault, 60, 14).table, {});
  CHECK_FALSE(moving.ready);
  CHECK_FALSE(moving.too_few);
}

TEST_CASE("qualify: a mis-feed is one feed, and told with its own limit") {
  SimulatedTrial trial = simulate_trial({}, 60, 15);
  trial.table.values(9, 1) += 400;
  trial.table.values(49, 1) += 400;
  const Qualification out = qualify(trial.table, {});
  REQUIRE(out.ready_at_feed.has_value());
  int told = 0;
  for (const Signal& one : out.signals) {
    if (one.feed != 10 && one.feed != 50) continue;
    ++told;
    CHECK(one.misfeed);
    CHECK(one.value > one.limit);
    CHECK((one.chart == "robust distance") == (one.feed == 10));
  }
  CHECK(told == 2);
}

TEST_CASE("qualify: what is no drift and no step is warned of, once") {
  const auto warned = [](const LauncherFault& fault, const std::string& words) {
    int count = 0;
    for (const auto& one :
         qualify(simulate_trial(fault, 100, 16).table, {}).warnings) {
      count += one.find(words) != std::string::npos;
    }
    return count;
  };
  LauncherFault fault;
  CHECK(warned(fault, "every second feed") == 0);
  CHECK(warned(fault, "has become smaller") == 0);
  CHECK(warned(fault, "each feed follows") == 0);
  fault.alternate = 4;
  CHECK(warned(fault, "every second feed differs, by ") == 1);
  fault = {};
  fault.shrink = 3;
  CHECK(warned(fault, "has become smaller than the baseline's: sd ") == 1);
  fault = {};
  fault.memory = 0.6;
  int followed = 0;
  for (std::uint64_t k = 0; k < 10; ++k) {
    int times = 0;
    for (const auto& one :
         qualify(simulate_trial(fault, 100, 980 + k).table, {}).warnings) {
      times += one.find("each feed follows the one before it in ") == 0;
    }
    CHECK(times <= 1);
    followed += times;
  }
  CHECK(followed >= 2);
}

TEST_CASE("qualify: a launcher that swings fast is never ready") {
  LauncherFault fault;
  fault.swing = 3;
  fault.period = 14;
  int swings = 0;
  for (std::uint64_t k = 0; k < 5; ++k) {
    const Qualification out =
        qualify(simulate_trial(fault, 100, 960 + k).table, {});
    CHECK_FALSE(out.ready);
    swings += out.holding_back[0].find("the launcher swings") == 0;
  }
  CHECK(swings >= 3);
}

TEST_CASE("the first change after ready, which no mis-feed is") {
  Signal misfeed;
  misfeed.feed = 40;
  misfeed.misfeed = true;
  Signal early;
  early.feed = 12;
  early.changed_at_feed = 10;
  Signal undated;
  undated.feed = 70;
  Signal late;
  late.feed = 90;
  late.changed_at_feed = 84;
  CHECK(first_change({}, 30) == 0);
  CHECK(first_change({misfeed, early}, 30) == 0);
  CHECK(first_change({misfeed, early, late}, 30) == 84);
  CHECK(first_change({late, undated}, 30) == 70);
  CHECK(first_change({early, late}, 0) == 10);
}
