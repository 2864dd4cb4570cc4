// SPDX-License-Identifier: MIT
// How long until a measure has moved by what the profile allows, if it goes on
// as it did? Counted from the last service, with the interval of the slope
// (Fieller's, stats/inverse_prediction.h, for a line through the place of that
// service), wider where the slope's is, because a step is allowed for. A slope
// that raised the alarm was told because it was large; its slower end allows
// for that (stats/selected_interval.h). It is about the mean over set-ups; a
// single session scatters about it as far as the forecast band says.
#pragma once

#include "wear/session_trend.h"

#include <limits>
#include <vector>

namespace evenfeed {

struct BandPoint {
  double feeds = 0;  ///< run by then, filmed or not
  double centre = 0;
  double low = 0;  ///< where a session of that time will lie
  double high = 0;
};

struct Forecast {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  static constexpr double kInfinity = std::numeric_limits<double>::infinity();
  bool ok = false;
  double allowed = kUnknown;
  /// Per 1000 feeds, the most that the interval of the slope leaves possible.
  double less_than = kUnknown;
  double moved = kUnknown;  ///< since the last service, by the slope
  /// Feeds from now until the allowed movement. 0: reached. Infinite: never,
  /// for a slope of 0 or, as `feeds_high`, when the slope may be 0.
  double feeds_left = kInfinity;
  double feeds_low = 0;
  double feeds_high = kInfinity;
  double feeds_per_session = kUnknown;  ///< median
  std::vector<BandPoint> band;          ///< from now on

  double sessions(double feeds) const { return feeds / feeds_per_session; }
};

struct ForecastStart {
  double feeds_now = 0;         ///< run up to now
  double feeds_at_service = 0;  ///< run when the present level began
  double feeds_per_session = 1;
  double level_now = 0;     ///< the model at `feeds_now`
  double centre_feeds = 0;  ///< mean of the sessions of the present level
  int level_sessions = 1;   ///< of it; of set-ups that are shared, these
};

/// Not ok without a slope.
Forecast forecast(const SessionTrend& trend,
                  double allowed,
                  const ForecastStart& start,
                  double confidence);

}  // namespace evenfeed
