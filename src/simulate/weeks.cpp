// SPDX-License-Identifier: MIT
#include "simulate/weeks.h"

#include "base/check.h"
#include "base/error.h"
#include "base/random.h"

#include <algorithm>
#include <cmath>
#include <random>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr double kDay_s = 86400;

struct ColumnName {
  WornColumn id;
  const char* name;
};
constexpr ColumnName kColumns[] = {{WornColumn::kX, "x_mm"},
                                   {WornColumn::kY, "y_mm"},
                                   {WornColumn::kSpeed, "speed_in_mps"},
                                   {WornColumn::kHeading, "heading_deg"},
                                   {WornColumn::kDescent, "descent_deg"},
                                   {WornColumn::kKick, "kick"},
                                   {WornColumn::kTurn, "turn_deg"}};

WornQuantity load_quantity(const TomlTable& table) {
  WornQuantity out;
  out.level = table.number("level");
  out.spread = table.number("spread");
  out.setup = table.number("setup", 0);
  out.wear_percent = table.number("wear_percent", 0);
  if (!(out.wear_percent > -100)) {
    table.refuse("wear_percent", "-100 or less", "Give a loss below all");
  }
  for (const char* key : {"spread", "setup"}) {
    if (table.has(key) && table.number(key) < 0) {
      table.refuse(key, "below 0", "Give a standard deviation");
    }
  }
  return out;
}

std::vector<WeeksService> load_services(const TomlTable& root) {
  std::vector<WeeksService> services;
  for (const TomlTable& one : root.tables("service")) {
    services.push_back(
        {one.number("day"), one.text("kind"), one.text("item", "")});
    one.refuse_unknown();
  }
  std::stable_sort(services.begin(),
                   services.end(),
                   [](const auto& a, const auto& b) { return a.day < b.day; });
  return services;
}

// What has happened to the launcher by a certain day.
struct Wheel {
  double feeds = 0;  ///< since it was new
  bool damaged = false;
};

void serve(const WeeksScenario& scenario,
           double before_day,
           double day,
           Wheel& wheel) {
  const auto past = [&](double when) {
    return when > before_day && when <= day;
  };
  if (past(scenario.damage_day)) wheel.damaged = true;
  for (const WeeksService& one : scenario.services) {
    if (past(one.day) && one.kind == "wheel-replaced") wheel = {};
  }
}

}  // namespace

void WeeksScenario::check() const {
  require_in_range(weeks, 0.1, 2000, "weeks");
  require_in_range(sessions_per_week, 0.1, 200, "sessions_per_week");
  require_in_range(fewest_feeds, 1, 100000, "fewest_feeds");
  require_in_range(most_feeds, fewest_feeds, 100000, "most_feeds");
  require_positive(interval_s, "interval_s");
  require_not_negative(interval_spread_s, "interval_spread_s");
  if (launcher.empty() || samples.empty()) {
    throw UsageError("launcher, samples: neither may be empty");
  }
}

WeeksScenario load_weeks(const TomlTable& root) {
  WeeksScenario out;
  out.launcher = root.text("launcher");
  const auto start = parse_date_time(root.text("start"));
  if (!start) {
    root.refuse("start", "not a day", "Write it as \"2026-01-05T18:00\"");
  }
  out.start = *start;
  out.weeks = root.number("weeks", out.weeks);
  out.sessions_per_week =
      root.number("sessions_per_week", out.sessions_per_week);
  out.fewest_feeds = root.integer("fewest_feeds", out.fewest_feeds);
  out.most_feeds = root.integer("most_feeds", out.most_feeds);
  out.interval_s = root.number("interval_s", out.interval_s);
  out.interval_spread_s =
      root.number("interval_spread_s", out.interval_spread_s);
  out.samples = root.texts("samples");
  out.spread_wear_percent =
      root.number("spread_wear_percent", out.spread_wear_percent);
  out.damage_day = root.number("damage_day", out.damage_day);
  out.damage_speed_percent =
      root.number("damage_speed_percent", out.damage_speed_percent);
  for (const ColumnName& one : kColumns) {
    out[one.id] = load_quantity(root.table(one.name));
  }
  out.services = load_services(root);
  check_loaded(root, out);
  root.refuse_unknown();
  return out;
}

std::vector<WeeksSession> simulate_weeks(const WeeksScenario& scenario,
                                         std::uint64_t seed) {
  scenario.check();
  const int count =
      static_cast<int>(std::round(scenario.weeks * scenario.sessions_per_week));
  std::vector<WeeksSession> sessions;
  Wheel wheel;
  double before_day = -1;
  for (int s = 0; s < count; ++s) {
    auto engine = derived_engine(seed, "weeks", static_cast<std::uint64_t>(s));
    std::normal_distribution<double> normal;
    std::uniform_int_distribution<int> size(scenario.fewest_feeds,
                                            scenario.most_feeds);
    const double day = 7 * s / scenario.sessions_per_week;
    serve(scenario, before_day, day, wheel);
    before_day = day;
    WeeksSession session;
    session.started_at =
        scenario.start + static_cast<UnixSeconds>(std::llround(day * kDay_s));
    session.sample =
        scenario.samples[static_cast<std::size_t>(s) % scenario.samples.size()];
    session.worn_feeds = wheel.feeds;
    double setup[kWornColumns];
    for (int c = 0; c < kWornColumns; ++c) {
      setup[c] = scenario.quantities[c].setup * normal(engine);
    }
    const int feeds = size(engine);
    double t_s = 0;
    for (int i = 0; i < feeds; ++i) {
      WeeksFeed feed;
      feed.t_launch_s = t_s;
      t_s += scenario.interval_s + scenario.interval_spread_s * normal(engine);
      const double worn = (wheel.feeds + i) / 1000;
      for (int c = 0; c < kWornColumns; ++c) {
        const WornQuantity& one = scenario.quantities[c];
        double level = one.level * std::pow(1 + one.wear_percent / 100, worn);
        if (c == static_cast<int>(WornColumn::kSpeed) && wheel.damaged) {
          level *= 1 + scenario.damage_speed_percent / 100;
        }
        const double spread =
            one.spread * (1 + scenario.spread_wear_percent / 100 * worn);
        feed.values[c] = level + setup[c] + spread * normal(engine);
      }
      session.feeds.push_back(feed);
    }
    wheel.feeds += feeds;
    sessions.push_back(std::move(session));
  }
  return sessions;
}

}  // namespace evenfeed
