// SPDX-License-Identifier: MIT
// What a control chart shows, in words.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// "landing along the table (mm): single feeds" and the like.
std::string chart_title(const ChartSeries& chart);

/// Of its values: "mm"; what judges several things at once has none.
[[nodiscard]] std::string chart_unit(const ChartSeries& chart);

/// The value lies beyond a limit that is known.
bool beyond_limits(const ChartSeries& chart, std::size_t i);

/// What a chart says, in one sentence, for those who cannot see it.
std::string chart_description(const ChartSeries& chart);

}  // namespace evenfeed
