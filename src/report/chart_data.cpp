// SPDX-License-Identifier: MIT
#include "report/chart_data.h"

#include "base/csv.h"
#include "quality/words.h"
#include "report/words.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

int decimals_of(const ChartSeries& chart) {
  return chart.characteristic.empty() ? 2
                                      : shown_decimals(chart.characteristic);
}

}  // namespace

std::string chart_title(const ChartSeries& chart) {
  return fmt::format("{}: {}",
                     chart.characteristic.empty()
                         ? "all together"
                         : characteristic_heading(chart.characteristic),
                     chart_words(chart.chart));
}

std::string chart_unit(const ChartSeries& chart) {
  const std::string_view unit = characteristic_unit(chart.characteristic);
  return unit.empty() ? "no unit" : std::string(unit);
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

}  // namespace evenfeed
