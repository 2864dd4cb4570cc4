// SPDX-License-Identifier: MIT
// The trend of one measure over the sessions, told apart from the scatter that
// every new set-up of the bench brings:
//   value_i = level(service stretch, settings) + slope * feeds_i
//             + a_i + e_i,
//   a_i ~ N(0, between): the set-up; e_i: the session's own error.
// Fitted by restricted maximum likelihood with Knapp-Hartung errors
// (stats/random_effects_regression.h). Sessions that share a set-up have its
// effect b ~ N(0, shared) in common beside what each brings by itself (stats/
// nested_effects_regression.h): what moves within a set-up is then seen
// although set-ups scatter. A service, and other settings of the launcher,
// start a level of their own; the slope is common to all.
//
// Beside it a sudden change: a step at the session boundary where it explains
// most, two sessions on either side, its probability times the number of
// boundaries (Bonferroni). It is looked for beside the slope, and in the
// slope's place, since each explains much of the other's data; there the
// likelier one stands, the choice of the boundary paid for. The interval of the
// slope allows for what is not known: with a step, where it was (wear/
// step_scan.h); a step in the slope's place that is not 20 times likelier or
// less likely; a step on top that gives no alarm but is hardly chance. A sudden
// change of less than about two set-up sd is often told as wear all the same.
// Set-ups that follow each other may be alike: a bench that stands for a week,
// a season. Lag-1 autocorrelation r of what the likeliest explanation leaves,
// when it is larger than chance allows, widens every error by
// sqrt((1 + r)/(1 - r)); where set-ups are shared the larger one of what each
// set-up says about the next and each session about the next of its set-up.
// The temperature of the room, where every session tells it and it varies, is
// one more column: what it moves is no wear, and a season is not taken for it.
// A single session further than 6 robust sd from the robust trend (another unit
// or launcher, say) would hide what all others show: it is named, and its
// distance counts as its own error.
// And a robust trend (Mann-Kendall, Theil-Sen within the levels) that wild
// sessions cannot carry away.
#pragma once

#include "stats/segmented_trend.h"

#include <limits>
#include <string>
#include <vector>

namespace evenfeed {

/// One session's value, with what may move it.
struct TrendPoint {
  double value = 0;
  double variance = 0;   ///< of the session's own error
  double kilofeeds = 0;  ///< run before, in thousands
  double days = 0;
  int level = 0;    ///< service stretch and settings: 0, 1, ... by appearance
  int session = 0;  ///< index among the launcher's sessions
  int setup = -1;   ///< sessions of one number share it; below 0: its own
  /// Of the room, degrees Celsius; NaN: not told.
  double temperature_C = std::numeric_limits<double>::quiet_NaN();
};

struct Estimate {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  double value = kUnknown;
  double error = kUnknown;  ///< standard error
  double low = kUnknown;
  double high = kUnknown;
  double probability = 1;  ///< two-sided, that it is 0
};

struct TrendOptions {
  double confidence = 0.95;
  double alarm = 0.01;  ///< of any false alarm about this measure
  int fewest_sessions = 5;
  void check() const;
};

struct SessionTrend {
  bool ok = false;  ///< false: `message` says why
  std::string message;
  int sessions = 0;
  double degrees = 0;                      ///< of the slope
  Estimate slope;                          ///< per 1000 feeds
  Estimate per_month;                      ///< per 30 days, instead of feeds
  double between_sd = Estimate::kUnknown;  ///< of a session set up anew
  int setups = 0;        ///< that sessions share, and others; 0: none is shared
  double shared_sd = 0;  ///< of a set-up, part of between_sd
  double own_sd = Estimate::kUnknown;  ///< median error of a session's value
  SegmentedTrend robust;               ///< per 1000 feeds
  bool wears = false;  ///< the slope is beyond its level, the robust one agrees
  /// |slope / error| that it had to pass for that.
  double slope_limit = Estimate::kUnknown;
  /// Not beyond that level, but hardly chance either (1 %): no alarm.
  bool hinted = false;
  bool stepped = false;
  /// A step in the slope's place, or the other way round, is nearly as likely.
  bool either = false;
  int step_before = -1;  ///< index of the first session after the step
  Estimate step;         ///< its probability counts every boundary tried
  double memory = 0;     ///< lag-1 autocorrelation that widened the errors
  Estimate per_degree;   ///< of the room; unknown: not told, or not allowed for
  std::vector<int> weighed_down;  ///< indices of points, see above
  /// Per point: the model, and where a session set up anew may lie (3 sd).
  std::vector<double> fitted;
  std::vector<double> lower;
  std::vector<double> upper;
};

/// Points in order of time. Fails with fewer sessions than asked for, or
/// fewer than three beyond the unknowns.
SessionTrend fit_session_trend(const std::vector<TrendPoint>& points,
                               const TrendOptions& options);

}  // namespace evenfeed
