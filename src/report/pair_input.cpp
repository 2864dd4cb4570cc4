// SPDX-License-Identifier: MIT
#include "report/pair_input.h"

#include "base/as_index.h"
#include "session/flights_file.h"
#include "session/session_folder.h"

namespace evenfeed {

const PairSource* PairInput::source_of(int sample) const {
  if (sources.empty()) return nullptr;
  return sources.size() == 1 ? sources.data() : &sources[as_index(sample)];
}

PairSource load_pair_source(const std::filesystem::path& feeds) {
  const std::string name = feeds.filename().string();
  if (name != "tagged.csv" && name != "feeds.csv") return {};
  const std::filesystem::path folder = feeds.parent_path();
  return {read_provenance(folder), folder_flights(folder)};
}

}  // namespace evenfeed
