// SPDX-License-Identifier: MIT
// feeds.csv: a row per feed, units in the column names.
#pragma once

#include "base/csv.h"
#include "flight/feed.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace evenfeed {

/// The text of feeds.csv (also of a simulation's truth.csv). The columns of
/// returns are there when any feed came back.
std::string feeds_text(const std::vector<Feed>& feeds);

/// The number of a feed. Throws InputError naming the place.
[[nodiscard]] int feed_number(const CsvTable& table,
                              std::size_t row,
                              std::size_t column);

/// Reads feeds back. Columns may stand in any order and be missing, except
/// `feed`. Throws InputError naming file, line and column.
std::vector<Feed> read_feeds(const CsvTable& table);

std::string_view status_name(FeedStatus status);
/// nullopt for a word that is not a status.
std::optional<FeedStatus> find_status(std::string_view name);

}  // namespace evenfeed
