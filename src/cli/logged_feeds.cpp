// SPDX-License-Identifier: MIT
#include "cli/logged_feeds.h"

#include "base/csv.h"
#include "cli/overrule.h"

#include <algorithm>

#include <fmt/format.h>

namespace evenfeed {
namespace {

bool anything(const std::vector<FeedLog>& log) {
  return std::any_of(log.begin(), log.end(), [](const FeedLog& one) {
    return !one.sample.empty() || !one.ball.empty() || !one.note.empty() ||
           one.excluded;
  });
}

}  // namespace

std::string with_log(const std::string& feeds_csv,
                     const std::vector<FeedLog>& log) {
  if (!anything(log)) return feeds_csv;
  const CsvTable table = CsvTable::parse(feeds_csv, "feeds.csv");
  std::vector<std::string> header = table.header();
  const std::size_t note = table.require_column("note");
  header.insert(header.end(), {"sample", "ball", "excluded"});
  CsvWriter out(header);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    std::vector<std::string> row = table.row(r);
    const FeedLog& said = log.at(r);
    if (!said.note.empty()) {
      row[note] += (row[note].empty() ? "" : "; ") + said.note;
    }
    row.insert(row.end(), {said.sample, said.ball, said.excluded ? "yes" : ""});
    out.add_row(row);
  }
  return out.text();
}

void exclude_logged(const std::vector<FeedLog>& log, Qualification& result) {
  CsvWriter by_hand({"feed", "verdict", "note"});
  bool any = false;
  for (std::size_t i = 0; i < log.size() && i < result.tags.size(); ++i) {
    if (!log[i].excluded) continue;
    any = true;
    by_hand.add_row({fmt::format("{}", result.tags[i].feed),
                     "discard",
                     log[i].note.empty()
                         ? "said at the bench not to count"
                         : "said at the bench not to count: " + log[i].note});
  }
  if (any) overrule(result, CsvTable::parse(by_hand.text(), "the trial log"));
}

}  // namespace evenfeed
