// SPDX-License-Identifier: MIT
// report.html: one file that opens from disk. It fetches nothing (a content
// security policy inside it forbids that too), and the verdict, the maps, the
// tables and the warnings are there without any script.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// The whole page. Everything that came from a file is escaped.
std::string report_page(const ReportInput& input);

}  // namespace evenfeed
