// SPDX-License-Identifier: MIT
// Weeks of sessions of one launcher, as numbers without films: what a store
// would hold after them. Per session and quantity
//   mean = level (1 + wear)^(feeds since the wheel was new / 1000)
//          + setup * n,  the bench set up anew: n standard normal
//   feed = mean + spread * (1 + spread_wear * feeds / 1000) * n_i
// and damage, from its day on, until the wheel is replaced.
#pragma once

#include "base/date_time.h"
#include "base/toml_file.h"

#include <cstdint>
#include <string>
#include <vector>

namespace evenfeed {

/// One quantity of the launcher, in the unit of its column.
struct WornQuantity {
  double level = 0;
  double spread = 0;        ///< sd from feed to feed
  double setup = 0;         ///< sd from session to session
  double wear_percent = 0;  ///< of the level per 1000 feeds
};

/// In the order of WeeksFeed::values.
enum class WornColumn { kX, kY, kSpeed, kHeading, kDescent, kKick, kTurn };
inline constexpr int kWornColumns = 7;

struct WeeksService {
  double day = 0;    ///< since the start
  std::string kind;  ///< as in the service log
  std::string item;
};

struct WeeksScenario {
  std::string launcher = "bench-A";
  UnixSeconds start = 0;
  double weeks = 10;
  double sessions_per_week = 4;
  int fewest_feeds = 80;  ///< of a session; drawn evenly up to
  int most_feeds = 120;
  double interval_s = 1.5;
  double interval_spread_s = 0.02;
  std::vector<std::string> samples;       ///< in turn
  WornQuantity quantities[kWornColumns];  ///< by WornColumn
  double spread_wear_percent = 0;         ///< of every spread per 1000 feeds
  double damage_day = -1;                 ///< below 0: none
  double damage_speed_percent = 0;
  std::vector<WeeksService> services;

  WornQuantity& operator[](WornColumn id) {
    return quantities[static_cast<int>(id)];
  }
  const WornQuantity& operator[](WornColumn id) const {
    return quantities[static_cast<int>(id)];
  }
  void check() const;
};

/// Throws InputError naming file, line and key.
WeeksScenario load_weeks(const TomlTable& root);

struct WeeksFeed {
  double t_launch_s = 0;
  double values[kWornColumns] = {};
};

struct WeeksSession {
  UnixSeconds started_at = 0;
  std::string sample;
  double worn_feeds = 0;  ///< since the wheel was new, at the start
  std::vector<WeeksFeed> feeds;
};

/// The same seed gives the same sessions.
std::vector<WeeksSession> simulate_weeks(const WeeksScenario& scenario,
                                         std::uint64_t seed);

}  // namespace evenfeed
