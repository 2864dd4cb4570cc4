// SPDX-License-Identifier: MIT
// A control chart as a picture: it needs no script, prints as it is seen, and
// can be saved.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// Points by verdict, centre, limits, two thirds of the way to the limits,
/// rings around points beyond them, phases as bands with their names above the
/// plot. Each point tells its feed, verdict and value on hovering. A chart
/// without a finite value is an empty plot.
[[nodiscard]] std::string chart_svg(const ReportInput& input,
                                    const ChartSeries& chart);

/// Numbers at which an axis from `low` to `high` has its ticks: about `count`
/// of them, 1, 2 or 5 times a power of ten apart. Empty unless low < high.
[[nodiscard]] std::vector<double> axis_ticks(double low,
                                             double high,
                                             int count);

}  // namespace evenfeed
