// SPDX-License-Identifier: MIT
// How to read a report: of what stands in it, and of nothing else.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

[[nodiscard]] std::string reading_guide(const ReportInput& input);

/// What the shaded bands of its charts are; empty when there are none.
[[nodiscard]] std::string band_words(const ReportInput& input);

}  // namespace evenfeed
