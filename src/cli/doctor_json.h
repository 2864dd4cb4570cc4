// SPDX-License-Identifier: MIT
// What `doctor` found, for programs.
#pragma once

#include "cli/doctor_findings.h"

#include <string>

namespace evenfeed {

[[nodiscard]] std::string examination_json(const Examination& seen);

}  // namespace evenfeed
