// SPDX-License-Identifier: MIT
#include "bench/wear_cases.h"

#include "base/random.h"

#include <cmath>
#include <numbers>
#include <random>

#include <fmt/format.h>

namespace evenfeed {
namespace {

double& speed_of(WearSession& session) {
  return session.values[static_cast<std::size_t>(Measure::kSpeed)].value;
}

// A season of so many set-up sd (2.5 % each) over so many weeks. Told: it is
// the room's temperature that moves it, by 0.5 % a degree, read to 0.5 degrees.
std::function<void(WearHistory&, std::uint64_t)> season(double sds,
                                                        double weeks,
                                                        bool told = false) {
  return [=](WearHistory& history, std::uint64_t seed) {
    const double start = static_cast<double>(history.sessions[0].started_at);
    RandomEngine engine = derived_engine(seed, "thermometer");
    std::normal_distribution<double> normal;
    for (WearSession& one : history.sessions) {
      const double week =
          (static_cast<double>(one.started_at) - start) / (7 * 86400);
      const double moved =
          sds * 2.5 *
          std::sin(2 * std::numbers::pi *
                   (week / weeks + static_cast<double>(seed % 97) / 97));
      speed_of(one) += moved;
      if (told) one.temperature_C = 20 + moved / 0.5 + 0.5 * normal(engine);
    }
  };
}

// Set-up effects that are drawn anew only after so many sessions, or that keep
// part of the one before; for all measures of a level. Each session scatters
// about its set-up by `own` set-up sd. Told: by --setup.
std::function<void(WearHistory&, std::uint64_t)> alike(int sessions,
                                                       double memory,
                                                       bool told = false,
                                                       double own = 0) {
  return [=](WearHistory& history, std::uint64_t seed) {
    for (const Measure id : {Measure::kSpeed, Measure::kKick}) {
      RandomEngine engine =
          derived_engine(seed, "alike", static_cast<std::uint64_t>(id));
      std::normal_distribution<double> normal;
      const double sd = id == Measure::kSpeed ? 2.5 : 5.6;
      double effect = normal(engine);
      for (std::size_t i = 0; i < history.sessions.size(); ++i) {
        if (i > 0 && i % static_cast<std::size_t>(sessions) == 0) {
          effect =
              memory * effect + std::sqrt(1 - memory * memory) * normal(engine);
        }
        WearSession& session = history.sessions[i];
        session.values[static_cast<std::size_t>(id)].value +=
            sd * (effect + own * normal(engine));
        if (told) {
          session.setup =
              fmt::format("{}", i / static_cast<std::size_t>(sessions));
        }
      }
    }
  };
}

// Sessions that say they share a set-up and do not.
std::function<void(WearHistory&, std::uint64_t)> alike_by_name(int sessions) {
  return [=](WearHistory& history, std::uint64_t) {
    for (std::size_t i = 0; i < history.sessions.size(); ++i) {
      history.sessions[i].setup =
          fmt::format("{}", i / static_cast<std::size_t>(sessions));
    }
  };
}

std::function<void(WearHistory&, std::uint64_t)> wrong_unit(int session) {
  return [=](WearHistory& history, std::uint64_t) {
    speed_of(history.sessions[static_cast<std::size_t>(session)]) +=
        100 * std::log(3.6);
  };
}

}  // namespace

std::vector<Case> wear_cases() {
  const auto wears = [](double percent) {
    return [percent](WeeksScenario& s) {
      s[WornColumn::kSpeed].wear_percent = percent;
    };
  };
  const auto uneven = [](WeeksScenario& s) {
    s.fewest_feeds = 12;
    s.most_feeds = 228;
  };
  const auto no_setup = [](WeeksScenario& s) {
    s[WornColumn::kSpeed].setup = 0;
    s[WornColumn::kKick].setup = 0;
  };
  const auto worn_alike = [&](WeeksScenario& s) {
    no_setup(s);
    wears(-1)(s);
  };
  return {
      {"no wear", [](WeeksScenario&) {}},
      {"no wear, uneven sessions", uneven},
      {"no wear, wheel replaced",
       [](WeeksScenario& s) {
         s.services = {{44.5, "wheel-replaced", ""}};
       }},
      {"0.5 % per 1000", wears(-0.5)},
      {"1 % per 1000", wears(-1)},
      {"2 % per 1000", wears(-2)},
      {"1 %, uneven sessions",
       [&](WeeksScenario& s) {
         wears(-1)(s);
         uneven(s);
       }},
      {"1 %, replaced in week 7",
       [&](WeeksScenario& s) {
         wears(-1)(s);
         s.services = {{44.5, "wheel-replaced", ""}};
       }},
      {"damage of 3 % in week 5",
       [](WeeksScenario& s) {
         s.damage_day = 30;
         s.damage_speed_percent = -3;
       }},
      {"damage of 5 % in week 5",
       [](WeeksScenario& s) {
         s.damage_day = 30;
         s.damage_speed_percent = -5;
       }},
      {"damage of 10 % in week 5",
       [](WeeksScenario& s) {
         s.damage_day = 30;
         s.damage_speed_percent = -10;
       }},
      {"no wear, set-ups shared by five", no_setup, alike(5, 0)},
      {"no wear, set-ups with memory 0.6", no_setup, alike(1, 0.6)},
      {"1 %, set-ups shared by five", worn_alike, alike(5, 0), 5},
      {"no wear, shared by five, told", no_setup, alike(5, 0, true), 5},
      {"1 %, shared by five, told", worn_alike, alike(5, 0, true), 5},
      {"no wear, shared by five, told, sessions 0.1",
       no_setup,
       alike(5, 0, true, 0.1),
       5,
       0.1},
      {"1 %, shared by five, told, sessions 0.1",
       worn_alike,
       alike(5, 0, true, 0.1),
       5,
       0.1},
      {"no wear, shared by five, told, sessions 0.3",
       no_setup,
       alike(5, 0, true, 0.3),
       5,
       0.3},
      {"1 %, shared by five, told, sessions 0.3",
       worn_alike,
       alike(5, 0, true, 0.3),
       5,
       0.3},
      {"no wear, told by five, each set up anew",
       [](WeeksScenario&) {},
       alike_by_name(5)},
      {"1 %, told by five, each set up anew", wears(-1), alike_by_name(5)},
      {"no wear, shared by two, told", no_setup, alike(2, 0, true), 2},
      {"1 %, shared by two, told", worn_alike, alike(2, 0, true), 2},
      {"no wear, shared by five, told, memory 0.6",
       no_setup,
       alike(5, 0.6, true),
       5},
      {"no wear, season of 0.5 set-up sd, 20 weeks",
       [](WeeksScenario&) {},
       season(0.5, 20)},
      {"no wear, season of 1 set-up sd, 20 weeks",
       [](WeeksScenario&) {},
       season(1, 20)},
      {"no wear, season of 1 set-up sd, 10 weeks",
       [](WeeksScenario&) {},
       season(1, 10)},
      {"no wear, season of 1 set-up sd, 20 weeks, told",
       [](WeeksScenario&) {},
       season(1, 20, true)},
      {"no wear, season of 1 set-up sd, 10 weeks, told",
       [](WeeksScenario&) {},
       season(1, 10, true)},
      {"1 % per 1000, season of 1 set-up sd, 20 weeks, told",
       wears(-1),
       season(1, 20, true)},
      {"no wear, session 20 in km/h", [](WeeksScenario&) {}, wrong_unit(20)},
      {"no wear, last session in km/h", [](WeeksScenario&) {}, wrong_unit(49)},
      {"1 % per 1000, session 20 in km/h", wears(-1), wrong_unit(20)}};
}

WeeksScenario steady(double setup_over_spread) {
  WeeksScenario out;
  out.weeks = 10;
  out.sessions_per_week = 5;
  out.fewest_feeds = out.most_feeds = 120;
  out.samples = {"sheet K"};
  const double levels[kWornColumns] = {720, 10, 6.4, 0.4, 21, 0.72, 0.6};
  const double spreads[kWornColumns] = {32, 14, 0.08, 0.4, 0.8, 0.02, 0.5};
  for (int c = 0; c < kWornColumns; ++c) {
    out.quantities[c] = {
        levels[c], spreads[c], setup_over_spread * spreads[c], 0};
  }
  return out;
}

}  // namespace evenfeed
