// SPDX-License-Identifier: MIT
#include "cli/overrule.h"

#include "base/counted.h"
#include "base/error.h"
#include "session/tagged_file.h"

#include <algorithm>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

Verdict verdict_of(const std::string& word) {
  for (const Verdict one :
       {Verdict::kKeep, Verdict::kReview, Verdict::kDiscard}) {
    if (verdict_name(one) == word) return one;
  }
  return Verdict::kReview;  // verdict_word() lets no other word through
}

}  // namespace

void check_overrules(const CsvTable& table) {
  const std::size_t feed_column = table.require_column("feed");
  const std::size_t verdict_column = table.require_column("verdict");
  const std::size_t note_column = table.require_column("note");
  std::set<double> done;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto number = table.number(row, feed_column);
    if (number && !done.insert(*number).second) {
      throw InputError(table.place(row, feed_column),
                       fmt::format("feed {} stands twice", *number),
                       "Leave one of the rows");
    }
    if (verdict_word(table, row).empty()) {
      throw InputError(table.place(row, verdict_column),
                       "there is no verdict",
                       "Write keep, review or discard");
    }
    const std::string& note = table.text(row, note_column);
    if (note.find_first_not_of(" \t") == std::string::npos) {
      throw InputError(table.place(row, note_column),
                       "the note is empty",
                       "Say what was seen: a verdict by hand needs a reason");
    }
  }
}

void overrule(Qualification& result, const CsvTable& table) {
  check_overrules(table);
  const std::size_t feed_column = table.require_column("feed");
  const std::size_t note_column = table.require_column("note");
  std::vector<std::string> named;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto number = table.number(row, feed_column);
    const auto tag = std::find_if(
        result.tags.begin(), result.tags.end(), [&](const FeedTag& one) {
          return number && one.feed == *number;
        });
    if (tag == result.tags.end()) {
      throw InputError(
          table.place(row, feed_column),
          fmt::format("there is no feed '{}'", table.text(row, feed_column)),
          "Give the number of a feed of the feeds file");
    }
    const std::string word = verdict_word(table, row);
    const std::string& note = table.text(row, note_column);
    tag->reasons.insert(
        tag->reasons.begin(),
        fmt::format(
            "by hand, {} before: {}", verdict_name(tag->verdict), note));
    named.push_back(fmt::format(
        "feed {} {} -> {}", tag->feed, verdict_name(tag->verdict), word));
    tag->verdict = verdict_of(word);
  }
  if (named.empty()) return;
  result.warnings.push_back(
      fmt::format("{} by hand: {}",
                  counted(static_cast<std::int64_t>(named.size()), "verdict"),
                  fmt::join(named, ", ")));
}

}  // namespace evenfeed
