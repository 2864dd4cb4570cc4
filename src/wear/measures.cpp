// SPDX-License-Identifier: MIT
#include "wear/measures.h"

#include "base/check.h"
#include "stats/descriptive.h"
#include "stats/trend.h"

#include <cmath>

namespace evenfeed {
namespace {

constexpr double kWildSd = 6;

// A value per feed with the feed's number.
struct Column {
  std::vector<double> feed;
  std::vector<double> value;
};

Column without_wild(const Column& all) {
  const double centre = median(all.value);
  const double scale = median_absolute_deviation(all.value);
  Column kept;
  for (std::size_t i = 0; i < all.value.size(); ++i) {
    if (scale > 0 && std::abs(all.value[i] - centre) > kWildSd * scale) {
      continue;
    }
    kept.feed.push_back(all.feed[i]);
    kept.value.push_back(all.value[i]);
  }
  return kept;
}

// The feeds that count: see summarise().
bool counts(const SessionSeries& series, std::size_t i) {
  if (series.discard[i]) return false;
  return !series.head.ready ||
         series.feeds[i] >= series.head.stable_from_feed.value_or(1);
}

Column column_of(const SessionSeries& series, std::size_t c) {
  Column all;
  for (std::size_t i = 0; i < series.feeds.size(); ++i) {
    const double value = series.values[c][i];
    if (!counts(series, i) || !std::isfinite(value)) continue;
    all.feed.push_back(series.feeds[i]);
    all.value.push_back(value);
  }
  return without_wild(all);
}

// Times between neighbouring feeds.
Column intervals_of(const SessionSeries& series) {
  Column all;
  for (std::size_t i = 1; i < series.feeds.size(); ++i) {
    const double time = series.t_launch_s[i] - series.t_launch_s[i - 1];
    if (series.feeds[i] != series.feeds[i - 1] + 1 || !std::isfinite(time)) {
      continue;
    }
    all.feed.push_back(series.feeds[i]);
    all.value.push_back(time);
  }
  return without_wild(all);
}

// 100 ln(mean); an error of the mean is an error of ln in units of the mean.
SessionValue log_level(const Column& column, int fewest) {
  SessionValue out;
  const auto n = static_cast<int>(column.value.size());
  const double level = n < fewest ? 0 : mean(column.value);
  if (!(level > 0)) return out;
  const double relative = 100 * standard_deviation(column.value) / level;
  out.value = 100 * std::log(level);
  out.unit_variance = relative * relative;
  out.weight = n;
  return out;
}

SessionValue plain_level(const Column& column, int fewest) {
  SessionValue out;
  const auto n = static_cast<int>(column.value.size());
  if (n < fewest) return out;
  const double sd = standard_deviation(column.value);
  out.value = mean(column.value);
  out.unit_variance = sd * sd;
  out.weight = n;
  return out;
}

// 100 ln(sd about the line through the session); var(ln s) = 1 / (2 (n - 2))
// for normal values, and what they have beyond goes to the scatter between
// sessions.
SessionValue log_spread(const Column& column, int fewest) {
  SessionValue out;
  if (static_cast<int>(column.value.size()) < fewest) return out;
  const LinearTrend line = linear_trend(column.feed, column.value);
  if (!line.ok || !(line.residual_sd > 0)) return out;
  out.value = 100 * std::log(line.residual_sd);
  out.unit_variance = 1e4 / 2;
  out.weight = line.n - 2;
  return out;
}

// Per cent of the level over 100 feeds.
SessionValue drift(const Column& column, int fewest) {
  SessionValue out;
  if (static_cast<int>(column.value.size()) < fewest) return out;
  const LinearTrend line = linear_trend(column.feed, column.value);
  const double level = mean(column.value);
  if (!line.ok || !(level > 0) || !(line.residual_sd > 0)) return out;
  const double per_cent = 100 * 100 / level;
  const double sd = line.residual_sd * per_cent;
  out.value = line.slope * per_cent;
  out.unit_variance = sd * sd;
  out.weight = std::pow(line.residual_sd / line.slope_se, 2);
  return out;
}

}  // namespace

const std::array<MeasureInfo, kMeasureCount>& measures() {
  using enum Measure;
  static constexpr std::array<MeasureInfo, kMeasureCount> kAll{{
      {kSpeed, "speed", "speed at the bounce", "%", "m/s", 3, 4},
      {kKick, "kick", "kick off the bounce", "%", "", 4, 2},
      {kTurn, "turn", "turn at the bounce", "deg", "deg", 2, 1},
      {kHeading, "heading", "heading", "deg", "deg", 2, 1},
      {kSpreadAlong,
       "spread_along",
       "spread of the landing along the table",
       "%",
       "mm",
       1,
       1},
      {kSpreadAcross,
       "spread_across",
       "spread of the landing across the table",
       "%",
       "mm",
       1,
       1},
      {kSpreadSpeed, "spread_speed", "spread of the speed", "%", "m/s", 4, 1},
      {kDrift,
       "drift",
       "movement of the speed within 100 feeds of a session",
       "%",
       "%",
       2,
       1},
      {kInterval, "interval", "time between feeds", "%", "s", 3, 1},
  }};
  return kAll;
}

const MeasureInfo& info(Measure id) {
  return measures()[static_cast<std::size_t>(id)];
}

std::optional<Measure> find_measure(std::string_view name) {
  for (const MeasureInfo& one : measures()) {
    if (one.name == name) return one.id;
  }
  return std::nullopt;
}

double level_of(Measure id, double value) {
  switch (id) {
    case Measure::kTurn:
    case Measure::kHeading:
    case Measure::kDrift:
      return value;
    default:
      return std::exp(value / 100);
  }
}

const std::vector<Characteristic>& measured_characteristics() {
  static const std::vector<Characteristic> kAll{Characteristic::kSpeedIn,
                                                Characteristic::kKick,
                                                Characteristic::kTurn,
                                                Characteristic::kHeading,
                                                Characteristic::kX,
                                                Characteristic::kY};
  return kAll;
}

SessionValues summarise(const SessionSeries& series, int fewest) {
  require(series.values.size() == measured_characteristics().size(),
          "a session is summarised from other columns than its own");
  SessionValues out;
  const auto put = [&](Measure id, const SessionValue& value) {
    out[static_cast<std::size_t>(id)] = value;
  };
  const Column speed = column_of(series, 0);
  put(Measure::kSpeed, log_level(speed, fewest));
  put(Measure::kKick, log_level(column_of(series, 1), fewest));
  put(Measure::kTurn, plain_level(column_of(series, 2), fewest));
  put(Measure::kHeading, plain_level(column_of(series, 3), fewest));
  put(Measure::kSpreadAlong, log_spread(column_of(series, 4), 2 * fewest));
  put(Measure::kSpreadAcross, log_spread(column_of(series, 5), 2 * fewest));
  put(Measure::kSpreadSpeed, log_spread(speed, 2 * fewest));
  put(Measure::kDrift, drift(speed, 2 * fewest));
  put(Measure::kInterval, log_level(intervals_of(series), fewest));
  return out;
}

}  // namespace evenfeed
