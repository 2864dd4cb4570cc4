// SPDX-License-Identifier: MIT
#include "quality/options.h"

#include "base/check.h"
#include "base/error.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

void load_warm_up(const TomlTable& table, WarmUpOptions& o) {
  o.window = table.integer("window", o.window);
  o.longest_window = table.integer("longest_window", o.longest_window);
  o.horizon_feeds = table.number("horizon_feeds", o.horizon_feeds);
  o.confidence = table.number("confidence", o.confidence);
  o.significance = table.number("significance", o.significance);
  check_loaded(table, o);
  table.refuse_unknown();
}

void load_charts(const TomlTable& table, ChartOptions& o) {
  o.run_length = table.number("run_length", o.run_length);
  o.lambda = table.number("lambda", o.lambda);
  o.guarantee = table.number("guarantee", o.guarantee);
  o.misfeed_probability =
      table.number("misfeed_probability", o.misfeed_probability);
  o.tails = table.number("tails", o.tails);
  o.confirm_feeds = table.integer("confirm_feeds", o.confirm_feeds);
  check_loaded(table, o);
  table.refuse_unknown();
}

Tolerance load_tolerance(const TomlTable& table) {
  Tolerance one;
  one.characteristic = table.text("characteristic");
  one.drift = table.number("drift", one.drift);
  one.spread = table.number("spread", one.spread);
  for (const char* key : {"drift", "spread"}) {
    if (table.has(key) && table.number(key) <= 0) {
      table.refuse(key, "not above 0", "Give a width, or leave the key out");
    }
  }
  return one;
}

void load_tolerances(const TomlTable& table, QualityOptions& o) {
  o.warm_up.drift_own_sd = table.number("drift_own_sd", o.warm_up.drift_own_sd);
  if (table.has("characteristics")) {
    o.characteristics = table.texts("characteristics");
    if (o.characteristics.empty()) {
      table.refuse("characteristics",
                   "an empty list",
                   "Name what is to be judged, or leave the key out");
    }
  }
  for (const TomlTable& one : table.tables("of")) {
    o.tolerances.push_back(load_tolerance(one));
  }
  check_loaded(table, o);
  table.refuse_unknown();
}

}  // namespace

void WarmUpOptions::check() const {
  require_in_range(window, 8, 1000, "warm_up.window");
  require_in_range(longest_window, window, 10000, "warm_up.longest_window");
  require_positive(horizon_feeds, "warm_up.horizon_feeds");
  require_positive(drift_own_sd, "tolerances.drift_own_sd");
  require_in_range(confidence, 0.5, 0.9999, "warm_up.confidence");
  require_in_range(significance, 1e-6, 0.5, "warm_up.significance");
}

void ChartOptions::check() const {
  require_in_range(run_length, 20, 1e5, "charts.run_length");
  require_in_range(lambda, 0.02, 1, "charts.lambda");
  require_in_range(guarantee, 0.5, 0.99, "charts.guarantee");
  require_in_range(
      misfeed_probability, 1e-9, 0.05, "charts.misfeed_probability");
  require_in_range(tails, 4.5, 1000, "charts.tails");
  require_in_range(confirm_feeds, 1, 1000, "charts.confirm_feeds");
}

void QualityOptions::check() const {
  warm_up.check();
  charts.check();
  for (const Tolerance& one : tolerances) {
    if (one.characteristic.empty()) {
      throw UsageError("tolerances.of: a tolerance without a characteristic");
    }
  }
}

QualityOptions QualityOptions::without_limits() const {
  QualityOptions out = *this;
  for (Tolerance& one : out.tolerances) one.spread = Tolerance().spread;
  return out;
}

double QualityOptions::allowed_spread(const std::string& characteristic) const {
  for (const Tolerance& one : tolerances) {
    if (one.characteristic == characteristic) return one.spread;
  }
  return Tolerance().spread;
}

QualityOptions load_quality(const TomlTable& profile_root) {
  QualityOptions options;
  load_warm_up(profile_root.table_or_empty("warm_up"), options.warm_up);
  load_charts(profile_root.table_or_empty("charts"), options.charts);
  load_tolerances(profile_root.table_or_empty("tolerances"), options);
  return options;
}

}  // namespace evenfeed
