// SPDX-License-Identifier: MIT
#include "cli/wear_words.h"

#include "base/counted.h"
#include "base/csv.h"
#include "cli/text_table.h"
#include "wear/words.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string interval(const Estimate& one) {
  if (!std::isfinite(one.value)) return "";
  return fmt::format(
      "{} to {}", csv_number(one.low, 2), csv_number(one.high, 2));
}

std::string left(const Forecast& one) {
  if (!one.ok) return "";
  if (one.feeds_high <= 0) return "used up";
  if (one.feeds_left <= 0 ||
      (one.feeds_low <= 0 && !std::isfinite(one.feeds_high))) {
    return "not known yet";
  }
  if (!std::isfinite(one.feeds_high)) {
    return "more than " + feeds_words(one.feeds_low);
  }
  return feeds_words(one.feeds_low) + " to " + feeds_words(one.feeds_high);
}

std::string table_of(const WearResult& result) {
  TextTable table({{""},
                   {"now", Align::kRight},
                   {""},
                   {"per 1000 feeds", Align::kRight},
                   {"interval", Align::kRight},
                   {""},
                   {"between sd", Align::kRight},
                   {"feeds left", Align::kRight},
                   {""}});
  for (const MeasureWear& one : result.measures) {
    if (!one.trend.ok) continue;
    const MeasureInfo& about = info(one.id);
    table.add_row(
        {std::string(about.words),
         csv_number(level_of(one.id, one.trend.fitted.back()), about.decimals),
         std::string(about.level_unit),
         csv_number(one.trend.slope.value, 2),
         interval(one.trend.slope),
         std::string(about.unit),
         csv_number(one.trend.between_sd, 2),
         left(one.forecast),
         one.alarm() ? "<- look" : ""});
  }
  return table.text();
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
  bool any = false;
  for (const MeasureWear& one : result.measures) any = any || one.trend.ok;
  if (any) text += "\n" + table_of(result);
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
