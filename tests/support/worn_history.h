// SPDX-License-Identifier: MIT
// A launcher that wears evenly, as the history that judge_wear() gets:
// invented.
#pragma once

#include "base/date_time.h"
#include "wear/history.h"

namespace evenfeed {

/// Twenty sessions of 100 feeds, a day apart from 2026-02-01; all measures, or
/// the first alone, fall by 2 per 1000 feeds.
inline WearHistory worn_history(bool all_measures) {
  WearHistory history;
  history.launcher = "bench-A";
  for (int i = 0; i < 20; ++i) {
    WearSession session;
    session.id = i + 1;
    session.started_at = *parse_date_time("2026-02-01T12:00") + 86400 * i;
    session.feeds = 100;
    session.feeds_before = history.feeds;
    session.ready = true;
    for (SessionValue& one : session.values) {
      one = {150 - 0.2 * i + (i % 2 == 0 ? 0.05 : -0.05), 4, 100};
      if (!all_measures) break;
    }
    history.feeds += 100;
    history.sessions.push_back(session);
  }
  return history;
}

}  // namespace evenfeed
