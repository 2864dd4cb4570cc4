// SPDX-License-Identifier: MIT
#include "simulate/weeks.h"

#include "base/error.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

WeeksScenario plain() {
  WeeksScenario out;
  out.weeks = 10;
  out.sessions_per_week = 4;
  out.fewest_feeds = 50;
  out.most_feeds = 150;
  out.samples = {"sheet K", "sheet M"};
  out[WornColumn::kSpeed] = {6, 0.05, 0, -2};
  out[WornColumn::kX] = {700, 30, 60, 0};
  return out;
}

double mean_of(const WeeksSession& session, WornColumn id) {
  double sum = 0;
  for (const WeeksFeed& feed : session.feeds) {
    sum += feed.values[static_cast<int>(id)];
  }
  return sum / static_cast<double>(session.feeds.size());
}

}  // namespace

TEST_CASE("weeks: the wheel wears as it was told, and is new again") {
  WeeksScenario scenario = plain();
  scenario.services = {{35, "wheel-replaced", "wheel 2"},
                       {14, "wheel-cleaned", ""}};
  const auto sessions = simulate_weeks(scenario, 1);
  REQUIRE(sessions.size() == 40);
  double worn = 0;
  for (std::size_t i = 0; i < sessions.size(); ++i) {
    const WeeksSession& one = sessions[i];
    if (i == 20) worn = 0;  // day 35
    CHECK(one.worn_feeds == worn);
    CHECK(one.feeds.size() >= 50);
    CHECK(one.feeds.size() <= 150);
    const double middle =
        (worn + 0.5 * static_cast<double>(one.feeds.size())) / 1000;
    CHECK(mean_of(one, WornColumn::kSpeed) ==
          doctest::Approx(6 * std::pow(0.98, middle)).epsilon(0.006));
    CHECK(one.sample == (i % 2 == 0 ? "sheet K" : "sheet M"));
    worn += static_cast<double>(one.feeds.size());
  }
  CHECK(sessions[4].started_at - sessions[0].started_at == 7 * 86400);
}

TEST_CASE("weeks: set-ups scatter between sessions") {
  WeeksScenario scenario = plain();
  scenario.weeks = 100;
  double squares = 0;
  const auto sessions = simulate_weeks(scenario, 2);
  for (const WeeksSession& one : sessions) {
    const double off = mean_of(one, WornColumn::kX) - 700;
    squares += off * off;
  }
  CHECK(std::sqrt(squares / static_cast<double>(sessions.size())) ==
        doctest::Approx(60).epsilon(0.1));
}

TEST_CASE("weeks: damage stays until the wheel is replaced") {
  WeeksScenario scenario = plain();
  scenario[WornColumn::kSpeed].wear_percent = 0;
  scenario.damage_day = 20;
  scenario.damage_speed_percent = -10;
  scenario.services = {{40, "wheel-replaced", ""}};
  const auto sessions = simulate_weeks(scenario, 3);
  int damaged = 0;
  for (const WeeksSession& one : sessions) {
    const double day =
        static_cast<double>(one.started_at - scenario.start) / 86400;
    const bool wrong = mean_of(one, WornColumn::kSpeed) < 5.7;
    CHECK(wrong == (day >= 20 && day < 40));
    damaged += wrong;
  }
  CHECK(damaged > 5);
}

TEST_CASE("weeks: a seed gives the same, another another") {
  const auto one = simulate_weeks(plain(), 1);
  const auto same = simulate_weeks(plain(), 1);
  const auto other = simulate_weeks(plain(), 2);
  CHECK(one[7].feeds.size() == same[7].feeds.size());
  CHECK(one[7].feeds[3].values[2] == same[7].feeds[3].values[2]);
  CHECK(one[7].feeds[3].values[2] != other[7].feeds[3].values[2]);
}

TEST_CASE("weeks: files that are refused") {
  const std::string head =
      "launcher = \"A\"\nstart = \"2026-01-05\"\nsamples = [\"K\"]\n";
  std::string columns;
  for (const char* name : {"x_mm",
                           "y_mm",
                           "speed_in_mps",
                           "heading_deg",
                           "descent_deg",
                           "kick",
                           "turn_deg"}) {
    columns += std::string("[") + name + "]\nlevel = 1\nspread = 0.1\n";
  }
  const auto load = [](const std::string& text) {
    return load_weeks(TomlTable::parse(text, "w.toml"));
  };
  CHECK(load(head + columns).launcher == "A");
  int refused = 0;
  for (const std::string& text :
       {std::string(),
        head,
        "weeks = 0\n" + head + columns,
        "fewest_feeds = 200\n" + head + columns,
        "colour = 1\n" + head + columns,
        head + columns + "wear_percent = -100\n",
        head + columns + "setup = -1\n",
        head + columns + "[[service]]\nday = 1\n",
        "launcher = \"A\"\nstart = \"soon\"\nsamples = [\"K\"]\n" + columns,
        "launcher = \"A\"\nstart = \"2026-01-05\"\nsamples = []\n" + columns}) {
    CAPTURE(text);
    CHECK_THROWS_AS(load(text), InputError);
    ++refused;
  }
  CHECK(refused == 10);
}
