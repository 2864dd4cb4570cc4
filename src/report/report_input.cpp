// SPDX-License-Identifier: MIT
#include "report/report_input.h"

#include "base/atomic_file.h"
#include "base/csv.h"
#include "base/error.h"
#include "session/feeds_file.h"
#include "session/tag_words.h"

#include <string_view>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> split_reasons(std::string_view text) {
  std::vector<std::string> parts;
  while (!text.empty()) {
    const std::size_t end = text.find(';');
    std::string_view part = text.substr(0, end);
    const std::size_t first = part.find_first_not_of(' ');
    if (first != std::string_view::npos) {
      part = part.substr(first, part.find_last_not_of(' ') - first + 1);
      parts.emplace_back(part);
    }
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return parts;
}

std::vector<JudgedFeed> read_judged(const CsvTable& table) {
  const auto cell = [&](std::size_t row, std::string_view name) {
    const auto column = table.column(name);
    return column ? table.text(row, *column) : std::string();
  };
  std::vector<JudgedFeed> judged;
  std::size_t row = 0;
  for (Feed& feed : read_feeds(table)) {
    judged.push_back({std::move(feed),
                      phase_word(table, row),
                      verdict_word(table, row),
                      split_reasons(cell(row, "reasons"))});
    ++row;
  }
  return judged;
}

}  // namespace

ReportInput load_report_input(const fs::path& folder) {
  std::error_code none;
  if (!fs::is_directory(folder, none)) {
    throw InputError(folder.string(),
                     "there is no such folder",
                     "Give the folder that 'evenfeed session' wrote");
  }
  ReportInput input;
  input.title = fs::weakly_canonical(folder, none).filename().string();
  const fs::path tagged = folder / "tagged.csv";
  const fs::path plain = folder / "feeds.csv";
  const fs::path summary = folder / "summary.json";
  for (const fs::path& own : {tagged, plain, summary, folder / "bench.toml"}) {
    require_file_if_there(own);
  }
  const bool has_tagged = fs::exists(tagged, none);
  if (!has_tagged && !fs::exists(plain, none)) {
    throw InputError(folder.string(),
                     "holds neither tagged.csv nor feeds.csv",
                     "Run 'evenfeed session' or 'evenfeed measure' into it "
                     "first");
  }
  if (fs::exists(folder / "bench.toml", none)) {
    input.bench = load_bench(folder / "bench.toml");
  }
  const CsvTable table = CsvTable::read(has_tagged ? tagged : plain);
  input.feeds = read_judged(table);
  if (fs::exists(summary, none)) {
    read_summary(read_file(summary), summary.string(), input);
    input.judged = has_tagged;
  }
  return input;
}

}  // namespace evenfeed
