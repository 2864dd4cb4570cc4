// SPDX-License-Identifier: MIT
#include "wear/wear.h"

#include "base/error.h"
#include "stats/distributions.h"
#include "support/weeks_history.h"
#include "wear/wear_file.h"

#include <algorithm>
#include <cmath>
#include <string_view>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace evenfeed;

namespace {

WeeksScenario ten_weeks() {
  return load_weeks(TomlTable::read(EVENFEED_ROOT "/examples/ten-weeks.toml"));
}

WeeksScenario no_wear() {
  WeeksScenario scenario = ten_weeks();
  for (WornQuantity& one : scenario.quantities) one.wear_percent = 0;
  return scenario;
}

bool has_words(const WearResult& result, const std::string& words) {
  for (const Suggestion& one : result.suggestions) {
    if (one.words.find(words) != std::string::npos) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("ten weeks: the wheel's wear is found, and what it is") {
  const WearResult result = judge_wear(weeks_history(ten_weeks(), 1), {});
  CHECK(result.alarm());
  const MeasureWear& speed = result.of(Measure::kSpeed);
  REQUIRE(speed.trend.ok);
  CHECK(speed.trend.wears);
  CHECK_FALSE(speed.trend.stepped);
  const double truth = 100 * std::log(0.99);
  CHECK(speed.trend.slope.low < truth);
  CHECK(speed.trend.slope.high > truth);
  CHECK(result.of(Measure::kKick).trend.wears);
  CHECK_FALSE(result.of(Measure::kHeading).alarm());
  CHECK_FALSE(result.of(Measure::kInterval).alarm());
  CHECK(has_words(result, "the wheel grips less"));
  CHECK(has_words(result, "maker's manual"));
  // Since the replacement, not since the first session.
  REQUIRE(result.history.events.size() == 1);
  CHECK(speed.forecast.moved > -3);
  CHECK(speed.forecast.moved < -0.5);
  CHECK(speed.sentence.find("falls by") != std::string::npos);
  CHECK(result.headline().find("speed at the bounce") != std::string::npos);
}

TEST_CASE("wear: the measures share the alarms allowed, all of them") {
  WearOptions options;
  options.alarm = 0.02;
  const WearResult result = judge_wear(weeks_history(ten_weeks(), 1), options);
  double shared = 0;
  double of_speed = 0;
  double of_heading = 0;
  for (const MeasureWear& one : result.measures) {
    if (!one.trend.ok || one.trend.stepped) continue;
    // The slope has half of a measure's, on two sides.
    const double share =
        4 * (1 - student_t_cdf(one.trend.slope_limit, one.trend.degrees));
    const double times =
        std::min(static_cast<double>(one.points.size()) / 25, 2.0);
    shared += share / times;
    if (one.id == Measure::kSpeed) of_speed = share;
    if (one.id == Measure::kHeading) of_heading = share;
  }
  CHECK(shared > 0.7 * options.alarm);
  CHECK(shared < 1.0001 * options.alarm);
  CHECK(of_speed == doctest::Approx(of_heading * info(Measure::kSpeed).share /
                                    info(Measure::kHeading).share));
}

TEST_CASE("ten weeks without wear: no alarm, and how little it could be") {
  int alarms = 0;
  constexpr int kRuns = 40;
  for (int run = 0; run < kRuns; ++run) {
    const WearResult result =
        judge_wear(weeks_history(no_wear(), 100 + run), {});
    alarms += result.alarm();
    if (run == 0) {
      CHECK((result.headline() == "No wear to be seen." ||
             result.headline().find(
                 "No alarm, but too early to see less than") == 0));
      CHECK(result.too_early() == (result.headline() != "No wear to be seen."));
      CHECK(result.suggestions.empty());
      CHECK(result.of(Measure::kSpeed)
                .sentence.find("no wear to be seen: less than") !=
            std::string::npos);
    }
  }
  CHECK(alarms <= 3);
}

TEST_CASE("ten weeks, the replacement not written down: a sudden change") {
  WeeksScenario scenario = ten_weeks();
  scenario[WornColumn::kSpeed].setup = 0.02;
  const WearResult result = judge_wear(weeks_history(scenario, 3, false), {});
  const MeasureWear& speed = result.of(Measure::kSpeed);
  REQUIRE(speed.trend.stepped);
  // Day 44.5 at five a week: before session 33, counted from 1.
  CHECK(std::abs(speed.trend.step_before - 32) <= 1);
  CHECK(speed.trend.step.value > 0);
  CHECK(speed.trend.wears);
  CHECK(has_words(result, "from one session to the next"));
  CHECK(speed.sentence.find("service log does not explain") !=
        std::string::npos);
}

TEST_CASE("a session that no set-up explains is named") {
  WearHistory history = weeks_history(no_wear(), 100);
  const auto named = [](const WearResult& result, int id) {
    const std::string start = "session " + std::to_string(id) + " of ";
    int times = 0;
    for (const std::string& one : result.warnings) {
      times += one.find(start) == 0 &&
               one.find("stands out in speed") != std::string::npos;
    }
    return times;
  };
  REQUIRE(history.sessions.size() > 25);
  const int id = history.sessions[20].id;
  CHECK(named(judge_wear(history, {}), id) == 0);
  // Kilometres an hour where the others are metres a second.
  history.sessions[20]
      .values[static_cast<std::size_t>(Measure::kSpeed)]
      .value += 100 * std::log(3.6);
  CHECK(named(judge_wear(history, {}), id) == 1);
}

TEST_CASE("an alarm needs size as well") {
  // Without set-ups the least wear is sure: a season, or a battery.
  WeeksScenario scenario = no_wear();
  for (WornQuantity& one : scenario.quantities) one.setup = 0;
  scenario.services.clear();
  scenario[WornColumn::kSpeed].wear_percent = -0.2;
  const WearResult little = judge_wear(weeks_history(scenario, 3), {});
  const MeasureWear& speed = little.of(Measure::kSpeed);
  REQUIRE(speed.trend.wears);
  CHECK(speed.small());
  CHECK_FALSE(speed.alarm());
  CHECK(speed.moved < 1.5);
  CHECK(little.headline().find("No alarm: what moves has moved by little: "
                               "speed at the bounce") == 0);
  CHECK(speed.sentence.find("no alarm, since this is less than half of the 3.0 "
                            "% allowed") != std::string::npos);
  scenario[WornColumn::kSpeed].wear_percent = -1;
  const WearResult much = judge_wear(weeks_history(scenario, 3), {});
  CHECK(much.of(Measure::kSpeed).alarm());
  CHECK_FALSE(much.of(Measure::kSpeed).small());
}

TEST_CASE("wear words: movements beyond ten per cent are told as they are") {
  // Four sessions at a third: of the logarithm 110 %, of the speed 67.
  WearHistory history = weeks_history(no_wear(), 100);
  const std::size_t n = history.sessions.size();
  for (std::size_t i = n - 4; i < n; ++i) {
    history.sessions[i]
        .values[static_cast<std::size_t>(Measure::kSpeed)]
        .value -= 100 * std::log(3.0);
  }
  const WearResult result = judge_wear(history, {});
  REQUIRE(result.of(Measure::kSpeed).trend.stepped);
  const std::string& sentence = result.of(Measure::kSpeed).sentence;
  CAPTURE(sentence);
  CHECK((sentence.find("fell suddenly by 66 %") != std::string::npos ||
         sentence.find("fell suddenly by 67 %") != std::string::npos ||
         sentence.find("fell suddenly by 68 %") != std::string::npos));
}

TEST_CASE("wear words: as sure as the interval, and no surer") {
  // Nothing is known of so few feeds: neither wear nor the lack of it.
  WeeksScenario few = no_wear();
  few.weeks = 2;
  const WearResult early = judge_wear(weeks_history(few, 100), {});
  REQUIRE_FALSE(early.alarm());
  int judged = 0;
  for (const MeasureWear& one : early.measures) {
    if (!one.forecast.ok || !std::isfinite(one.forecast.allowed)) continue;
    ++judged;
    CAPTURE(one.sentence);
    const bool too_early = one.forecast.less_than * early.history.feeds / 1000 >
                           one.forecast.allowed;
    if (!one.trend.hinted) {
      CHECK((one.sentence.find("too early to see less") != std::string::npos) ==
            too_early);
      CHECK((one.sentence.find("no wear to be seen") == std::string::npos) ==
            too_early);
    }
    if (one.forecast.feeds_high > 0) {
      CHECK(one.sentence.find("are used up (") == std::string::npos);
    }
    CHECK(one.sentence.find("not before 0 feeds") == std::string::npos);
  }
  CHECK(judged > 3);
  CHECK(early.headline().find("No alarm, but too early to see less than ") ==
        0);
  CHECK(early.too_early());
}

TEST_CASE("a set-up is told by its name, else by the calibration") {
  const auto history_of = [](const std::vector<SessionSeries>& all) {
    HistoryBuilder builder("bench", {}, 8);
    for (const SessionSeries& one : all) builder.add(one);
    return builder.finish();
  };
  SessionSeries named;
  named.values.resize(measured_characteristics().size());
  named.settings = {{"set-up", "Monday"}, {"wheel", "60"}};
  named.bench = "of Monday";
  SessionSeries calibrated = named;
  calibrated.settings = {{"wheel", "60"}};
  SessionSeries neither = calibrated;
  neither.bench.clear();
  const WearHistory history =
      history_of({named, named, calibrated, calibrated, neither});
  REQUIRE(history.sessions.size() == 5);
  CHECK(history.sessions[0].setup == history.sessions[1].setup);
  CHECK(history.sessions[0].setup.find("Monday") != std::string::npos);
  CHECK(history.sessions[2].setup == history.sessions[3].setup);
  CHECK(history.sessions[2].setup.size() == 64);
  CHECK(history.sessions[2].setup != history.sessions[0].setup);
  CHECK(history.sessions[4].setup.empty());
  // It is no setting that has a level of its own.
  for (const WearSession& one : history.sessions) {
    CHECK(one.settings == "wheel = 60");
  }
}

TEST_CASE("set-ups that sessions share reach the trend") {
  WeeksScenario scenario = no_wear();
  for (WornQuantity& one : scenario.quantities) one.setup = 0;
  WearHistory history = weeks_history(scenario, 4);
  auto& sessions = history.sessions;
  for (std::size_t i = 0; i < sessions.size(); ++i) {
    sessions[i].setup = i < 2 ? "" : std::to_string(i / 4);
    sessions[i].values[0].value += i / 4 % 2 == 0 ? 2 : -2;
  }
  const MeasureWear speed = judge_wear(history, {}).of(Measure::kSpeed);
  CHECK(speed.points[0].setup < 0);
  CHECK(speed.points[4].setup == speed.points[5].setup);
  CHECK(speed.points[4].setup != speed.points[8].setup);
  CHECK(speed.trend.setups > 8);
  CHECK(speed.trend.shared_sd > 1);
  const auto json = nlohmann::json::parse(wear_text(judge_wear(history, {})));
  CHECK(json["measures"][0]["shared_setups"]["setups"] == speed.trend.setups);
}

TEST_CASE("other settings are other levels, not wear") {
  WearHistory history = weeks_history(no_wear(), 5);
  for (std::size_t i = 0; i < history.sessions.size(); ++i) {
    // Ever more often at a higher speed.
    if (i % 5 < i / 10) {
      history.sessions[i].settings = "wheel = 60";
      history.sessions[i].values[0].value += 40;
    }
  }
  const WearResult result = judge_wear(history, {});
  CHECK_FALSE(result.of(Measure::kSpeed).alarm());
  REQUIRE_FALSE(result.warnings.empty());
  CHECK(result.of(Measure::kSpeed).trend.between_sd < 2);
  for (WearSession& one : history.sessions) one.settings.clear();
  CHECK(judge_wear(history, {}).of(Measure::kSpeed).trend.between_sd > 10);
}

TEST_CASE("feeds are counted, filmed or not, and services where they stood") {
  WeeksScenario scenario = no_wear();
  scenario.weeks = 2;
  scenario.fewest_feeds = scenario.most_feeds = 100;
  std::vector<ServiceEvent> events(3);
  events[0].at = scenario.start - 5;
  events[1].at = scenario.start + 86400 * 7;
  events[1].kind = ServiceKind::kNewBalls;
  events[1].unfilmed_feeds = 250;
  events[2].at = scenario.start + 86400 * 100;
  HistoryBuilder builder("bench-A", events, 8);
  int id = 0;
  for (const WeeksSession& one : simulate_weeks(scenario, 1)) {
    SessionSeries series = weeks_series(one, ++id);
    series.head.program_version = "9.8.7";
    builder.add(series);
  }
  const WearHistory history = builder.finish();
  REQUIRE(history.sessions.size() == 10);
  CHECK(history.sessions[9].program_version == "9.8.7");
  REQUIRE(history.events.size() == 3);
  CHECK(history.events[0].sessions_before == 0);
  CHECK(history.events[1].sessions_before == 5);
  CHECK(history.events[1].feeds_before == 750);
  CHECK(history.events[2].sessions_before == 10);
  CHECK(history.sessions[4].feeds_before == 400);
  CHECK(history.sessions[5].feeds_before == 750);
  CHECK(history.feeds == 1250);
}

TEST_CASE("what a service may change, all of it") {
  struct Row {
    ServiceKind kind;
    // speed, kick, turn, heading; spread along, across, of speed; drift;
    // interval
    std::string_view breaks;
  };
  const Row rows[] = {
      // Wheels throw the ball; when it comes is the feeder's doing.
      {ServiceKind::kWheelCleaned, "yyyyyyyyn"},
      {ServiceKind::kWheelReplaced, "yyyyyyyyn"},
      // Another ball leaves and bounces otherwise; it goes where it went, and
      // the launcher warms up as before.
      {ServiceKind::kNewBalls, "yyynyyynn"},
      // Aimed anew, nothing else touched.
      {ServiceKind::kLauncherMoved, "nnnynnnnn"},
      // The speed and what comes of it, not where the launcher points.
      {ServiceKind::kMotorServiced, "yyynyyyyn"},
  };
  int cells = 0;
  for (const Row& row : rows) {
    REQUIRE(row.breaks.size() == kMeasureCount);
    for (int m = 0; m < kMeasureCount; ++m) {
      CAPTURE(service_kind_name(row.kind));
      CAPTURE(m);
      CHECK(breaks(row.kind, static_cast<Measure>(m)) ==
            (row.breaks[static_cast<std::size_t>(m)] == 'y'));
      ++cells;
    }
  }
  CHECK(cells == 45);
}

TEST_CASE("wear.json says what was found; nothing and little are no error") {
  const auto json = nlohmann::json::parse(
      wear_text(judge_wear(weeks_history(ten_weeks(), 1), {})));
  CHECK(json["alarm"] == true);
  CHECK(json["measures"].size() == kMeasureCount);
  CHECK(json["measures"][0]["measure"] == "speed");
  CHECK(json["measures"][0]["per_1000_feeds"]["value"] < -0.5);
  CHECK(json["measures"][0]["sessions"].size() == 50);
  CHECK(json["services"][0]["kind"] == "wheel-replaced");
  int tried = 0;
  for (const int sessions : {0, 1, 4}) {
    const WearResult few =
        judge_wear(weeks_history(ten_weeks(), 1, true, sessions), {});
    CHECK_FALSE(few.alarm());
    CHECK(nlohmann::json::parse(wear_text(few))["alarm"] == false);
    ++tried;
  }
  CHECK(tried == 3);
}

TEST_CASE("options: the profile's section, and what is refused") {
  const auto load = [](const char* text) {
    return load_wear(TomlTable::parse(text, "p.toml"));
  };
  CHECK(load("").allowed.at("speed") == 3);
  const WearOptions own = load("alarm = 0.02\n[allowed]\nspeed = 4.5\n");
  CHECK(own.alarm == 0.02);
  CHECK(own.allowed.at("speed") == 4.5);
  CHECK(own.allowed.at("kick") == 5);
  int refused = 0;
  for (const char* text : {"alarm = 0",
                           "alarm = 0.5",
                           "confidence = 1",
                           "fewest_sessions = 2",
                           "colour = 1",
                           "[allowed]\ncolour = 1",
                           "[allowed]\nspeed = 0",
                           "[allowed]\nspeed = nan"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(load(text), InputError);
    ++refused;
  }
  CHECK(refused == 8);
  const WearOptions shipped =
      load_wear(TomlTable::read(EVENFEED_ROOT "/profiles/table-tennis.toml")
                    .table("wear"));
  CHECK(shipped.allowed == WearOptions().allowed);
}

TEST_CASE("sessions measured by different versions are told") {
  WearHistory history = weeks_history(ten_weeks(), 1);
  for (WearSession& one : history.sessions) one.program_version = "9.8.7";
  const auto told = [&] {
    const WearResult result = judge_wear(history, {});
    for (const std::string& one : result.warnings) {
      if (one.find("different versions") != std::string::npos) return one;
    }
    return std::string();
  };
  CHECK(told().empty());
  REQUIRE(history.sessions.size() > 6);
  history.sessions[1].id = 77;
  history.sessions[1].program_version = "9.8.6";
  CHECK(told().find("session 77 by evenfeed 9.8.6; sessions ") !=
        std::string::npos);
  CHECK(told().find(" more by evenfeed 9.8.7. Measure the older") !=
        std::string::npos);
  history.sessions[1].program_version.clear();
  CHECK(told().find("session 77 by one that is not told") != std::string::npos);
}

TEST_CASE("one session is no sessions") {
  WearHistory history = weeks_history(ten_weeks(), 1, true, 1);
  REQUIRE(history.sessions.size() == 1);
  history.sessions[0].ready = false;
  const WearResult result = judge_wear(history, {});
  REQUIRE_FALSE(result.warnings.empty());
  CHECK(result.warnings[0].starts_with("in 1 of 1 session the launcher"));
}
