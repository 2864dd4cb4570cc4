// SPDX-License-Identifier: MIT
// What the sample sent back, over the feeds that were kept.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// "speed after the sample 4.096 m/s (4.078 to 4.114; sd 0.062; 49 feeds), ..."
/// of what samples are compared by; empty as the table is.
[[nodiscard]] std::string returns_words(const ReportInput& input);

/// A table: each value of the returns with mean, 95 % interval of the mean by
/// Student's t, sd and number of feeds, where two kept feeds (or, of a session
/// that was not judged, feeds) have one; and their flights from the side, where
/// they are known. Empty without both.
[[nodiscard]] std::string returns_section(const ReportInput& input);

}  // namespace evenfeed
