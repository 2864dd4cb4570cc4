// SPDX-License-Identifier: MIT
// What calibrate and measure found, as JSON; what is not known is null.
#pragma once

#include "calibration/calibrate_film.h"
#include "pipeline/measurement.h"

#include <string>
#include <vector>

namespace evenfeed {

/// The camera in the table's frame, how well the surface's lines agree with
/// it, and the warnings.
[[nodiscard]] std::string calibration_json(
    const Bench& bench, const std::vector<std::string>& warnings);

/// How many feeds of which kind; median, spread and uncertainty of every
/// characteristic; what was heard, and the warnings.
[[nodiscard]] std::string measurement_json(const Measurement& measurement);

}  // namespace evenfeed
