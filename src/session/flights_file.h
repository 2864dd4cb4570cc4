// SPDX-License-Identifier: MIT
// flights.csv: every feed's fitted flight as places along the way, for whoever
// draws it: feed, leg (in, out, back), t_s, x_mm, y_mm, z_mm in the table
// frame, u_px, v_px where the film shows it, mark (bounce, contact, highest,
// net). Of a feed that could not be fitted there is nothing.
#pragma once

#include "base/csv.h"
#include "flight/flown_feed.h"

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

std::string flights_text(const std::vector<FlownFeed>& feeds);

/// Reads them back, without sightings, in the order in which feeds first stand
/// there. Throws InputError naming file, line and column.
std::vector<FlownFeed> read_flights(const CsvTable& table);

/// Those of a session folder; nothing where there is no flights.csv.
std::vector<FlownFeed> folder_flights(const std::filesystem::path& folder);

}  // namespace evenfeed
