// SPDX-License-Identifier: MIT
#include "cli/store_csv.h"

#include "base/csv.h"
#include "base/printable.h"
#include "cli/store_words.h"
#include "stats/descriptive.h"

#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

// Finer than any unit of feeds.csv needs for a mean.
constexpr int kMoreDecimals = 2;

std::string number_or_empty(const std::optional<int>& number) {
  return number ? fmt::format("{}", *number) : std::string();
}

// Mean and sd of one value over the feeds kept.
template <typename Value>
void add_summary(const SessionRecord& session,
                 int decimals,
                 const Value& value_of,
                 std::vector<std::string>& row) {
  std::vector<double> values;
  for (const TaggedFeed& one : session.feeds) {
    if (one.verdict == "keep") values.push_back(value_of(one.feed));
  }
  values = finite_only(values);
  const bool enough = values.size() >= 2;
  row.push_back(enough ? csv_number(mean(values), decimals + kMoreDecimals)
                       : "");
  row.push_back(
      enough ? csv_number(standard_deviation(values), decimals + kMoreDecimals)
             : "");
}

}  // namespace

// Names that an older program took are shown as everywhere else: it goes to a
// terminal as often as into a file.
std::string sessions_csv(const std::vector<SessionRecord>& sessions) {
  std::vector<std::string> header{"session",
                                  "filmed",
                                  "dated_by",
                                  "launcher",
                                  "sample",
                                  "balls",
                                  "ready",
                                  "ready_at_feed",
                                  "stable_from_feed",
                                  "feeds",
                                  "keep",
                                  "review",
                                  "discard",
                                  "profile",
                                  "program_version",
                                  "film",
                                  "note"};
  const auto add_columns = [&](std::string_view column) {
    header.push_back(fmt::format("mean_{}", column));
    header.push_back(fmt::format("sd_{}", column));
  };
  for (const auto& one : characteristics()) add_columns(one.column);
  for (const auto& one : return_values()) add_columns(one.column);
  CsvWriter out(header);
  for (const SessionRecord& session : sessions) {
    const SessionHead& head = session.head;
    int counts[3] = {0, 0, 0};
    for (const TaggedFeed& one : session.feeds) {
      counts[0] += one.verdict == "keep";
      counts[1] += one.verdict == "review";
      counts[2] += one.verdict == "discard";
    }
    std::vector<std::string> row{
        head.id > 0 ? fmt::format("{}", head.id) : "",
        head.started_at > 0 ? date_time_text(head.started_at) : "",
        head.dated_by,
        printable(head.launcher),
        printable(head.sample),
        printable(head.ball_set),
        head.ready ? "yes" : "no",
        number_or_empty(head.ready_at_feed),
        number_or_empty(head.stable_from_feed),
        fmt::format("{}", session.feeds.size()),
        fmt::format("{}", counts[0]),
        fmt::format("{}", counts[1]),
        fmt::format("{}", counts[2]),
        printable(head.profile_name),
        printable(head.program_version),
        printable(head.source.path),
        printable(head.note)};
    for (const CharacteristicInfo& one : characteristics()) {
      add_summary(
          session,
          one.decimals,
          [&](const Feed& feed) { return feed[one.id].value; },
          row);
    }
    for (std::size_t i = 0; i < return_values().size(); ++i) {
      add_summary(
          session,
          return_values()[i].decimals,
          [&](const Feed& feed) { return feed.returned[i].value; },
          row);
    }
    out.add_row(row);
  }
  return out.text();
}

}  // namespace evenfeed
