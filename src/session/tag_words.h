// SPDX-License-Identifier: MIT
// The words of tagged.csv, read the same way wherever it is read.
#pragma once

#include "base/csv.h"

#include <string>

namespace evenfeed {

/// "warm-up", "baseline" or "monitor"; empty: not judged, or no such column.
/// Throws InputError with the place for any other word.
[[nodiscard]] std::string phase_word(const CsvTable& table, std::size_t row);

/// "keep", "review" or "discard"; empty and errors as above.
[[nodiscard]] std::string verdict_word(const CsvTable& table, std::size_t row);

}  // namespace evenfeed
