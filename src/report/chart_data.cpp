// SPDX-License-Identifier: MIT
#include "report/chart_data.h"

#include "base/csv.h"
#include "report/words.h"

#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace evenfeed {
namespace {

using Json = nlohmann::json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

int decimals_of(const ChartSeries& chart) {
  return chart.characteristic.empty()
             ? 2
             : characteristic_decimals(chart.characteristic);
}

Json numbers(const std::vector<double>& values) {
  Json out = Json::array();
  for (const double value : values) out.push_back(number(value));
  return out;
}

Json chart_object(const ChartSeries& chart) {
  return {{"title", chart_title(chart)},
          {"decimals", decimals_of(chart)},
          {"centre", number(chart.centre)},
          {"feed", chart.feeds},
          {"value", numbers(chart.values)},
          {"lower", numbers(chart.lower)},
          {"upper", numbers(chart.upper)}};
}

}  // namespace

std::string chart_title(const ChartSeries& chart) {
  if (chart.characteristic.empty()) {
    return chart_name(chart.chart) + ": everything together";
  }
  return fmt::format("{}: {}",
                     characteristic_heading(chart.characteristic),
                     chart_name(chart.chart));
}

bool beyond_limits(const ChartSeries& chart, std::size_t i) {
  return chart.values[i] > chart.upper[i] || chart.values[i] < chart.lower[i];
}

std::string chart_description(const ChartSeries& chart) {
  std::string signals;
  int count = 0;
  for (std::size_t i = 0; i < chart.feeds.size(); ++i) {
    if (!beyond_limits(chart, i)) continue;
    signals += fmt::format("{}{}", count++ ? ", " : "", chart.feeds[i]);
  }
  std::string text = chart_title(chart);
  if (std::isfinite(chart.centre)) {
    text += fmt::format(", centre {}",
                        csv_number(chart.centre, decimals_of(chart)));
  }
  return text + (count == 0 ? "; no point beyond its limits"
                            : "; beyond the limits at feed " + signals);
}

std::string chart_json(const ReportInput& input) {
  Json out{{"feeds", Json::object()}, {"charts", Json::array()}};
  for (const JudgedFeed& one : input.feeds) {
    out["feeds"][std::to_string(one.feed.number)] = {{"verdict", one.verdict},
                                                     {"phase", one.phase}};
  }
  for (const ChartSeries& chart : input.charts) {
    out["charts"].push_back(chart_object(chart));
  }
  // Text that is not UTF-8 must not stop a report.
  return out.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace evenfeed
