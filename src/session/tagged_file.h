// SPDX-License-Identifier: MIT
// tagged.csv, read the same way wherever it is read.
#pragma once

#include "base/csv.h"
#include "session/session_record.h"

#include <string>
#include <vector>

namespace evenfeed {

/// "warm-up", "baseline" or "monitor"; empty: not judged, or no such column.
/// Throws InputError with the place for any other word.
[[nodiscard]] std::string phase_word(const CsvTable& table, std::size_t row);

/// "keep", "review" or "discard"; empty and errors as above.
[[nodiscard]] std::string verdict_word(const CsvTable& table, std::size_t row);

/// All of tagged.csv. Throws InputError: a column of phase, verdict or reasons
/// missing, a word that is none, and what read_feeds() refuses.
[[nodiscard]] std::vector<TaggedFeed> read_tagged(const CsvTable& table);

}  // namespace evenfeed
