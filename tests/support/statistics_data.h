// SPDX-License-Identifier: MIT
// The check values in tests/data/statistics (see SOURCES.md there), by name.
#pragma once

#include "base/csv.h"

#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

inline CsvTable statistics_table(const std::string& file) {
  return CsvTable::read(std::filesystem::path(EVENFEED_TEST_DATA) /
                        "statistics" / file);
}

inline std::vector<double> column_of(const CsvTable& table,
                                     const std::string& name) {
  const std::size_t column = table.require_column(name);
  std::vector<double> values;
  for (std::size_t r = 0; r < table.rows(); ++r) {
    values.push_back(table.require_number(r, column));
  }
  return values;
}

}  // namespace evenfeed
