// SPDX-License-Identifier: MIT
// Whose numbers a page shows: film, date, launcher, sample, program.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// A list of what is known; empty when nothing is. Everything is escaped.
[[nodiscard]] std::string provenance_section(const ReportInput& input);

}  // namespace evenfeed
