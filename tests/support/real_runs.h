// SPDX-License-Identifier: MIT
// Recorded launcher runs (open data, not part of this project): the folder
// with runs.csv is named by EVENFEED_REAL_DATA.
#pragma once

#include "quality/qualification.h"

#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

namespace evenfeed {

/// Null: there is no such data on this machine.
inline const char* real_data_folder() {
  return std::getenv("EVENFEED_REAL_DATA");
}

inline CsvTable real_runs_table() {
  return CsvTable::read(std::filesystem::path(real_data_folder()) / "runs.csv");
}

/// The feeds of one run, in the order of recording; without those whose
/// recording looks wrong, if so asked.
inline TrialTable real_run(const CsvTable& runs,
                           const std::string& run,
                           bool without_suspects = false) {
  const std::vector<std::string> names{"along_mm", "lateral_mm", "speed_mps"};
  CsvWriter one({"feed", names[0], names[1], names[2]});
  int feed = 0;
  for (std::size_t r = 0; r < runs.rows(); ++r) {
    if (runs.text(r, runs.require_column("run")) != run) continue;
    if (without_suspects &&
        runs.text(r, runs.require_column("suspect")) == "1") {
      continue;
    }
    std::vector<std::string> row{std::to_string(++feed)};
    for (const auto& name : names) {
      row.push_back(runs.text(r, runs.require_column(name)));
    }
    one.add_row(row);
  }
  return read_trial(CsvTable::parse(one.text(), run), names);
}

}  // namespace evenfeed
