// SPDX-License-Identifier: MIT
// What a launcher's sessions say about its wear: a trend, a forecast and an
// alarm or none per measure, and what to look at.
#pragma once

#include "wear/forecast.h"
#include "wear/history.h"
#include "wear/options.h"

#include <string>
#include <vector>

namespace evenfeed {

struct MeasureWear {
  Measure id = Measure::kSpeed;
  std::vector<TrendPoint> points;
  SessionTrend trend;
  Forecast forecast;
  std::string sentence;  ///< plain words
  /// Indices of `points` beyond 3 sd of what a set-up scatters, and of those
  /// that were weighed down (wear/session_trend.h).
  std::vector<int> stand_out;
  double moved = 0;  ///< over all sessions, by the slope or the step

  /// A trend or a step that is no chance and matters: it has moved the measure
  /// by half of what is allowed at least. What is sure but smaller may be the
  /// season's, or the battery's.
  bool alarm() const { return seen() && !small(); }
  bool seen() const { return trend.ok && (trend.wears || trend.stepped); }
  bool small() const;
};

/// What to look at, and why.
struct Suggestion {
  std::string words;
  std::vector<std::string> evidence;  ///< names of measures
};

struct WearResult {
  WearHistory history;
  std::vector<MeasureWear> measures;  ///< every one, judged or not
  std::vector<Suggestion> suggestions;
  std::vector<std::string> warnings;

  const MeasureWear& of(Measure id) const {
    return measures[static_cast<std::size_t>(id)];
  }
  bool alarm() const;
  /// No alarm, and too little was seen for that to say much.
  bool too_early() const;
  std::string headline() const;
};

WearResult judge_wear(WearHistory history, const WearOptions& options);

}  // namespace evenfeed
