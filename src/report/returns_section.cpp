// SPDX-License-Identifier: MIT
#include "report/returns_section.h"

#include "base/counted.h"
#include "base/csv.h"
#include "flight/return_values.h"
#include "quality/words.h"
#include "report/html.h"
#include "report/take_away.h"
#include "stats/descriptive.h"
#include "stats/estimate.h"

#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr double kConfidence = 0.95;

struct Row {
  ReturnValue id;
  const char* words;
  const char* unit;
};

// In the order in which it happens.
constexpr Row kRows[] = {
    {ReturnValue::kSpeed, "speed after the sample", "m/s"},
    {ReturnValue::kAngle, "angle above the horizontal", "°"},
    {ReturnValue::kApex, "highest point, above the table", "mm"},
    {ReturnValue::kApexX, "highest point, along the table", "mm"},
    {ReturnValue::kNetTime, "from the sample to the net", "s"},
    {ReturnValue::kNetHeight, "height over the table at the net", "mm"},
    {ReturnValue::kX, "landing along the table", "mm"},
    {ReturnValue::kY, "landing across", "mm"},
};

std::vector<double> values_of(const ReportInput& input, ReturnValue id) {
  std::vector<double> values;
  for (const JudgedFeed& one : input.feeds) {
    if (!may_be_used(input, one)) continue;
    values.push_back(one.feed.returned[static_cast<std::size_t>(id)].value);
  }
  return finite_only(values);
}

int decimals_of(const Row& row) {
  return shown_decimals(
      return_values()[static_cast<std::size_t>(row.id)].column);
}

std::string returns_table(const ReportInput& input) {
  std::string rows;
  for (const Row& row : kRows) {
    const std::vector<double> values = values_of(input, row.id);
    // The mean of values is the mean of their differences from nothing.
    const IntervalEstimate mean = paired_t(values, kConfidence);
    if (!mean.ok) continue;
    const auto shown = [&](double value) {
      return csv_number(value, decimals_of(row));
    };
    const auto alike = input.alike.find(
        std::string(return_values()[static_cast<std::size_t>(row.id)].column));
    rows += fmt::format(
        "<tr><th scope=\"row\">{} <small>{}</small></th><td class=\"n\">{}</td>"
        "<td class=\"n\">{} to {}</td><td class=\"n\">{}</td><td "
        "class=\"n\">{}</td><td class=\"n\">{}</td></tr>\n",
        row.words,
        row.unit,
        shown(mean.value),
        shown(mean.interval.low),
        shown(mean.interval.high),
        alike == input.alike.end() ? "not known"
                                   : "±&nbsp;" + shown(alike->second),
        shown(standard_deviation(values)),
        values.size());
  }
  if (rows.empty()) return {};
  return table_start(
             "What the sample sent back",
             fmt::format(
                 "{}. The interval is of the mean, 95 %, as far as feeds "
                 "differ; what camera and air leave uncertain in all of them "
                 "alike comes beside it, as a standard uncertainty; sd is from "
                 "feed to feed.",
                 input.judged ? "Of the feeds that may be used"
                              : "Of all feeds")) +
         "<thead><tr><th scope=\"col\">what</th><th scope=\"col\" "
         "class=\"n\">mean</th><th scope=\"col\" "
         "class=\"n\">interval</th><th scope=\"col\" class=\"n\">all "
         "alike</th><th scope=\"col\" class=\"n\">sd</th><th "
         "scope=\"col\" class=\"n\">feeds</th></tr></thead>\n<tbody>\n" +
         rows + "</tbody></table></div>\n";
}

bool quoted(ReturnValue id) {
  return id == ReturnValue::kSpeed || id == ReturnValue::kApex ||
         id == ReturnValue::kNetTime || id == ReturnValue::kNetHeight;
}

}  // namespace

std::string returns_words(const ReportInput& input) {
  std::vector<std::string> parts;
  for (const Row& row : kRows) {
    if (!quoted(row.id)) continue;
    const std::vector<double> values = values_of(input, row.id);
    const IntervalEstimate mean = paired_t(values, kConfidence);
    if (!mean.ok) continue;
    const auto shown = [&](double value) {
      return csv_number(value, decimals_of(row));
    };
    parts.push_back(fmt::format("{} {} {} ({} to {}; sd {}; {})",
                                row.words,
                                shown(mean.value),
                                row.unit,
                                shown(mean.interval.low),
                                shown(mean.interval.high),
                                shown(standard_deviation(values)),
                                counted(std::ssize(values), "feed")));
  }
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string returns_section(const ReportInput& input) {
  std::string out = returns_table(input);
  if (const auto flights = flights_drawing(input)) {
    out += captioned_figure(*flights);
  }
  if (out.empty()) return {};
  return "<section><h2>What the sample sent back</h2>\n" + out + "</section>\n";
}

}  // namespace evenfeed
