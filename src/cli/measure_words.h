// SPDX-License-Identifier: MIT
// What measure and session say about a measurement.
#pragma once

#include "cli/progress_line.h"
#include "pipeline/measure.h"

#include <string>

namespace evenfeed {

/// A few lines: feeds found, how they scatter, how well that was measured.
std::string measurement_text(const Measurement& measurement);

/// Shows frames done and feeds found on `line`.
ProgressCallback measuring_progress(ProgressLine& line);

}  // namespace evenfeed
