// SPDX-License-Identifier: MIT
// Calendar time as files and options carry it: ISO 8601, UTC, whole seconds.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace evenfeed {

/// Seconds since 1970-01-01T00:00:00Z, leap seconds not counted.
using UnixSeconds = std::int64_t;

/// "2026-03-14", "2026-03-14T15:30", "2026-03-14 15:30:05" and the same with a
/// Z; a date alone is its midnight. nullopt for anything else, and for days
/// and hours that do not exist. Years 1970 to 9999.
std::optional<UnixSeconds> parse_date_time(std::string_view text);

/// "2026-03-14T15:30:05Z".
std::string date_time_text(UnixSeconds when);
/// "2026-03-14".
std::string date_text(UnixSeconds when);

UnixSeconds now_unix();

}  // namespace evenfeed
