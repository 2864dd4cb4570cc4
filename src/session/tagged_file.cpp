// SPDX-License-Identifier: MIT
#include "session/tagged_file.h"

#include "base/error.h"
#include "session/feeds_file.h"

#include <algorithm>
#include <array>
#include <utility>

#include <fmt/format.h>

namespace evenfeed {
namespace {

std::string known_word(const CsvTable& table,
                       std::size_t row,
                       const char* name,
                       const std::array<std::string, 3>& known) {
  const auto column = table.column(name);
  if (!column) return {};
  const std::string& word = table.text(row, *column);
  if (word.empty() ||
      std::find(known.begin(), known.end(), word) != known.end()) {
    return word;
  }
  throw InputError(
      table.place(row, *column),
      fmt::format(
          "'{}' is none of {}, {}, {}", word, known[0], known[1], known[2]),
      "Write tagged.csv anew with 'evenfeed qualify'");
}

}  // namespace

std::string phase_word(const CsvTable& table, std::size_t row) {
  return known_word(table, row, "phase", {"warm-up", "baseline", "monitor"});
}

std::string verdict_word(const CsvTable& table, std::size_t row) {
  return known_word(table, row, "verdict", {"keep", "review", "discard"});
}

std::vector<TaggedFeed> read_tagged(const CsvTable& table) {
  table.require_column("phase");
  table.require_column("verdict");
  const std::size_t reasons = table.require_column("reasons");
  std::vector<TaggedFeed> tagged;
  for (Feed& feed : read_feeds(table)) {
    const std::size_t row = tagged.size();
    tagged.push_back({std::move(feed),
                      phase_word(table, row),
                      verdict_word(table, row),
                      table.text(row, reasons)});
  }
  return tagged;
}

}  // namespace evenfeed
