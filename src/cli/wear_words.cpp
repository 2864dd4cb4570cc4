// SPDX-License-Identifier: MIT
#include "cli/wear_words.h"

#include "base/counted.h"
#include "base/csv.h"
#include "wear/words.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string left(const Forecast& one) {
  if (!one.ok) return "";
  if (one.feeds_high <= 0) return "nothing, used up";
  if (one.feeds_left <= 0 ||
      (one.feeds_low <= 0 && !std::isfinite(one.feeds_high))) {
    return "not known yet";
  }
  if (!std::isfinite(one.feeds_high)) {
    return fmt::format("more than {} feeds", feeds_words(one.feeds_low));
  }
  return fmt::format("{} to {} feeds",
                     feeds_words(one.feeds_low),
                     feeds_words(one.feeds_high));
}

// "speed at the bounce: 6.260 m/s; -1.05 % per 1000 feeds (-1.37 to -0.73),
// ..."
std::string line_of(const MeasureWear& one) {
  const MeasureInfo& about = info(one.id);
  const SessionTrend& trend = one.trend;
  const std::string remaining = left(one.forecast);
  const std::string level_unit =
      about.level_unit.empty() ? "" : fmt::format(" {}", about.level_unit);
  return fmt::format(
      "{}: {}{}; {} {} per 1000 feeds ({} to {}), from one set-up to the next "
      "{} {} (sd){}{}\n",
      about.words,
      csv_number(level_of(one.id, trend.fitted.back()), about.decimals),
      level_unit,
      csv_number(trend.slope.value, 2),
      about.unit,
      csv_number(trend.slope.low, 2),
      csv_number(trend.slope.high, 2),
      csv_number(trend.between_sd, 2),
      about.unit,
      remaining.empty() ? "" : "; left: " + remaining,
      one.alarm() ? " <- look" : "");
}

}  // namespace

std::string wear_words(const WearResult& result) {
  const WearHistory& history = result.history;
  std::string text = fmt::format(
      "{}: {}, {}, {}\n{}\n",
      history.launcher,
      counted(static_cast<std::int64_t>(history.sessions.size()), "session"),
      counted(std::llround(history.feeds), "feed"),
      counted(static_cast<std::int64_t>(history.events.size()),
              "service entry",
              "service entries"),
      result.headline());
  std::string lines;
  for (const MeasureWear& one : result.measures) {
    if (one.trend.ok) lines += line_of(one);
  }
  if (!lines.empty()) text += "\n" + lines;
  if (result.alarm()) text += "\n";
  for (const MeasureWear& one : result.measures) {
    if (one.alarm()) text += one.sentence + "\n";
  }
  for (const Suggestion& one : result.suggestions) {
    text += "  " + one.words + "\n";
  }
  for (const std::string& one : result.warnings) {
    text += "warning: " + one + "\n";
  }
  return text;
}

}  // namespace evenfeed
