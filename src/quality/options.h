// SPDX-License-Identifier: MIT
// The settings feeds are judged with: the sections [tolerances], [charts] and
// [warm_up] of a profile. Every key has a default, so a profile may leave any
// of them out.
#pragma once

#include "base/toml_file.h"

#include <limits>
#include <string>
#include <vector>

namespace evenfeed {

/// What one characteristic is allowed to do, in its own unit. NaN: no limit
/// of its own, the default relative to the launcher's spread applies.
struct Tolerance {
  std::string characteristic;
  double drift = std::numeric_limits<double>::quiet_NaN();
  double spread = std::numeric_limits<double>::quiet_NaN();
};

/// The warm-up decision; see quality/warm_up.h for the rule.
struct WarmUpOptions {
  int window = 20;             ///< fewest feeds a decision rests on
  int longest_window = 80;     ///< older feeds are not asked any more
  double horizon_feeds = 30;   ///< drift is judged over this many feeds ahead
  double drift_own_sd = 3;     ///< allowed drift over the horizon, in own sd
  double confidence = 0.98;    ///< one-sided, that drift and spread are within
  double significance = 0.02;  ///< of the test that shortens the window
  void check() const;
};

/// The control charts of the monitored feeds.
struct ChartOptions {
  double run_length = 1000;  ///< feeds between false alarms, per chart group
  double lambda = 0.1;       ///< weight of the newest feed in EWMA and MEWMA
  double guarantee = 0.9;    ///< probability that this baseline's own run
                             ///< length is at least that
  double misfeed_probability = 1e-4;  ///< a rarer distance is a mis-feed
  /// Single feeds have wilder values than normal ones: limits for them allow
  /// for a t with so many degrees of freedom, which the baseline may change
  /// (charts/heavy_tails.h).
  double tails = 8;
  int confirm_feeds = 10;  ///< feeds in control before "ready" when a
                           ///< baseline is given
  void check() const;
};

struct QualityOptions {
  /// Which columns to judge; empty: the default list, as far as present.
  std::vector<std::string> characteristics;
  std::vector<Tolerance> tolerances;
  WarmUpOptions warm_up;
  ChartOptions charts;
  void check() const;
  /// The same, with no spread that is allowed.
  QualityOptions without_limits() const;
  /// The sd that is allowed; NaN: any.
  double allowed_spread(const std::string& characteristic) const;
};

/// Reads the three sections from the root of a profile; refuses unknown keys
/// in them. Other sections are left alone.
QualityOptions load_quality(const TomlTable& profile_root);

}  // namespace evenfeed
