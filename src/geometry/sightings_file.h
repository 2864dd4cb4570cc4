// SPDX-License-Identifier: MIT
// sightings.csv: t_s,u_px,v_px and optionally diameter_px, s_px, frame, track.
// So sightings from elsewhere can be measured, and this project's can be kept.
#pragma once

#include "base/csv.h"
#include "geometry/sighting.h"

#include <string>
#include <vector>

namespace evenfeed {

std::string sightings_text(const std::vector<Sighting>& sightings);

/// In the file's order. A row without s_px gets `sigma_px`. Throws InputError
/// naming file, line and column.
[[nodiscard]] std::vector<Sighting> read_sightings(const CsvTable& table,
                                                   double sigma_px = 0.3);

}  // namespace evenfeed
