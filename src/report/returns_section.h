// SPDX-License-Identifier: MIT
// What the sample sent back, over the feeds that were kept.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// A table: each value of the returns with mean, 95 % interval of the mean by
/// Student's t, sd and number of feeds; empty when fewer than two kept feeds
/// (or, of a session that was not judged, feeds) have one.
[[nodiscard]] std::string returns_section(const ReportInput& input);

}  // namespace evenfeed
