// SPDX-License-Identifier: MIT
// Where the feeds landed, drawn to scale: the whole surface, and the part they
// landed on closer up with what is known about each landing.
#pragma once

#include "report/ellipse.h"
#include "report/report_input.h"

#include <optional>
#include <string>

namespace evenfeed {

/// The surface, its lines and net, a mark for each landing, and a frame around
/// the part that close_up_map() shows.
std::string whole_map(const ReportInput& input);

/// The landings with a grid in mm and with 95 % ellipses: thin, of each
/// measurement; thick, of where the stable process is expected to land.
std::string close_up_map(const ReportInput& input);

/// Where 95 % of the stable process' feeds are expected: from summary.json's
/// baseline; nullopt when it has no x_mm and y_mm, or is provisional: then
/// there was no stable process.
std::optional<Ellipse> baseline_ellipse(const ReportBaseline& baseline);

/// The 95 % ellipse of one landing's measurement (repeatability alone).
std::optional<Ellipse> landing_ellipse(const Feed& feed);

/// Landings that are known but too far off to be drawn.
int landings_off_map(const ReportInput& input);

/// Numbers stand beside what wants looking at: neither none nor too many.
bool landings_numbered(const ReportInput& input);

/// An edge of the landing zone crosses the map.
bool landing_zone_on_map(const ReportInput& input);

/// The legend's entries: each mark with its word.
std::string map_legend();

}  // namespace evenfeed
