// SPDX-License-Identifier: MIT
// Simulated weeks as the history that judge_wear() gets, for tests and
// benchmarks.
#pragma once

#include "simulate/weeks.h"
#include "wear/history.h"

#include <cmath>
#include <vector>

namespace evenfeed {

inline SessionSeries weeks_series(const WeeksSession& session, int id) {
  constexpr WornColumn kOrder[] = {WornColumn::kSpeed,
                                   WornColumn::kKick,
                                   WornColumn::kTurn,
                                   WornColumn::kHeading,
                                   WornColumn::kX,
                                   WornColumn::kY};
  SessionSeries series;
  series.head.id = id;
  series.head.started_at = session.started_at;
  series.head.ready = true;
  series.values.resize(std::size(kOrder));
  for (const WeeksFeed& feed : session.feeds) {
    series.feeds.push_back(static_cast<int>(series.feeds.size()) + 1);
    series.t_launch_s.push_back(feed.t_launch_s);
    series.discard.push_back(0);
    for (std::size_t c = 0; c < std::size(kOrder); ++c) {
      series.values[c].push_back(feed.values[static_cast<int>(kOrder[c])]);
    }
  }
  return series;
}

/// With its services written down, or not. `sessions`: only the first ones.
inline WearHistory weeks_history(const WeeksScenario& scenario,
                                 std::uint64_t seed,
                                 bool logged = true,
                                 int sessions = 100000) {
  std::vector<ServiceEvent> events;
  for (const WeeksService& one : scenario.services) {
    ServiceEvent event;
    event.at = scenario.start + std::llround(86400 * one.day);
    event.kind = find_service_kind(one.kind).value();
    event.item = one.item;
    if (logged) events.push_back(event);
  }
  HistoryBuilder builder(scenario.launcher, events, 8);
  int id = 0;
  for (const WeeksSession& one : simulate_weeks(scenario, seed)) {
    if (id < sessions) builder.add(weeks_series(one, ++id));
  }
  return builder.finish();
}

}  // namespace evenfeed
