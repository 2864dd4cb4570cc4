// SPDX-License-Identifier: MIT
// summary.json as the page needs it.
#pragma once

#include "report/report_input.h"

#include <string>

namespace evenfeed {

/// Only what summary.json says, put into `input`; `name` is for messages.
void read_summary(const std::string& json_text,
                  const std::string& name,
                  ReportInput& input);

}  // namespace evenfeed
