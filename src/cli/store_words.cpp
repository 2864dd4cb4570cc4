// SPDX-License-Identifier: MIT
#include "cli/store_words.h"

#include "base/counted.h"
#include "base/csv.h"
#include "base/printable.h"
#include "cli/text_table.h"
#include "quality/words.h"
#include "session/feeds_file.h"
#include "stats/descriptive.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

// "2026-03-14 15:30": the minute is enough for people.
std::string minute(UnixSeconds when) {
  std::string text = date_time_text(when).substr(0, 16);
  text[10] = ' ';
  return text;
}

std::string properties_line(const std::string& name,
                            const std::vector<Property>& properties) {
  if (properties.empty()) return {};
  std::string list;
  for (const Property& one : properties) {
    list +=
        fmt::format("{}{} = {}", list.empty() ? "" : ", ", one.key, one.value);
  }
  return fmt::format("{:<10}{}\n", name, printable(list));
}

std::string readiness(const SessionHead& head) {
  if (head.ready) {
    return fmt::format("ready, stable since feed {}",
                       head.stable_from_feed.value_or(1));
  }
  return head.ready_at_feed
             ? fmt::format("not ready any more (it was at feed {})",
                           *head.ready_at_feed)
             : std::string("never ready");
}

// Centre and spread of what was measured, mis-feeds left out.
std::string values_table(const SessionRecord& record) {
  TextTable table({{"characteristic"},
                   {"median", Align::kRight},
                   {"spread", Align::kRight},
                   {"unit"}});
  for (const CharacteristicInfo& one : characteristics()) {
    std::vector<double> values;
    for (const TaggedFeed& tagged : record.feeds) {
      if (tagged.verdict != "discard") {
        values.push_back(tagged.feed[one.id].value);
      }
    }
    values = finite_only(values);
    if (values.size() < 2) continue;
    const int decimals = shown_decimals(one.column);
    table.add_row({std::string(one.words),
                   csv_number(median(values), decimals),
                   csv_number(median_absolute_deviation(values), decimals),
                   std::string(one.unit)});
  }
  return table.text();
}

}  // namespace

std::string sessions_table(const std::vector<SessionHead>& heads) {
  if (heads.empty()) return "no sessions\n";
  TextTable table({{"session", Align::kRight},
                   {"filmed (UTC)"},
                   {"launcher"},
                   {"sample"},
                   {"feeds", Align::kRight},
                   {"keep", Align::kRight},
                   {"ready"},
                   {"film"}});
  for (const SessionHead& head : heads) {
    table.add_row({fmt::format("{}", head.id),
                   minute(head.started_at),
                   head.launcher,
                   head.sample,
                   fmt::format("{}", head.feeds),
                   fmt::format("{}", head.keep),
                   head.ready ? "yes" : "no",
                   head.source.path});
  }
  return table.text();
}

std::string session_words(const SessionRecord& record) {
  const SessionHead& head = record.head;
  std::string text = fmt::format("session {}, filmed {} UTC, filed {} UTC\n",
                                 head.id,
                                 minute(head.started_at),
                                 minute(head.filed_at));
  text += fmt::format("launcher  {}\nsample    {}\n",
                      printable(head.launcher),
                      printable(head.sample));
  text += properties_line("", record.sample_properties);
  if (!head.ball_set.empty()) {
    text += fmt::format("balls     {}\n", printable(head.ball_set));
  }
  text += properties_line("settings", record.settings);
  text += fmt::format("profile   {}\nfilm      {} ({} bytes)\nSHA-256   {}\n",
                      printable(head.profile_name),
                      printable(head.source.path),
                      head.source.bytes,
                      head.source.sha256);
  if (!head.program_version.empty()) {
    text += fmt::format("measured  by evenfeed {}\n", head.program_version);
  }
  if (!head.note.empty())
    text += fmt::format("note      {}\n", printable(head.note));
  text += fmt::format("{}: {} keep, {} review, {} discard; {}\n\n",
                      counted(head.feeds, "feed"),
                      head.keep,
                      head.review,
                      head.discard,
                      readiness(head));
  return text + values_table(record);
}

std::string services_table(const std::vector<ServiceEvent>& events) {
  if (events.empty()) return "nothing in the service log\n";
  TextTable table({{"entry", Align::kRight},
                   {"when (UTC)"},
                   {"what"},
                   {"item"},
                   {"unfilmed feeds", Align::kRight},
                   {"note"}});
  for (const ServiceEvent& event : events) {
    table.add_row({fmt::format("{}", event.id),
                   minute(event.at),
                   std::string(service_kind_words(event.kind)),
                   event.item,
                   event.unfilmed_feeds > 0
                       ? fmt::format("{}", event.unfilmed_feeds)
                       : "",
                   event.note});
  }
  return table.text();
}

std::string check_words(const StoreCheck& check) {
  std::string text = fmt::format("{}, {}: {}\n",
                                 counted(check.sessions, "session"),
                                 counted(check.feeds, "feed"),
                                 check.faults.empty() ? "whole" : "NOT WHOLE");
  for (const std::string& fault : check.faults) text += "  " + fault + "\n";
  return text;
}

std::string stored_tags_text(const SessionRecord& record) {
  std::vector<Feed> feeds;
  for (const TaggedFeed& one : record.feeds) feeds.push_back(one.feed);
  const CsvTable table = CsvTable::parse(feeds_text(feeds), "feeds.csv");
  std::vector<std::string> header = table.header();
  for (const char* name : {"phase", "verdict", "reasons"}) {
    header.emplace_back(name);
  }
  CsvWriter out(header);
  for (std::size_t r = 0; r < table.rows(); ++r) {
    std::vector<std::string> row = table.row(r);
    const TaggedFeed& one = record.feeds[r];
    row.insert(row.end(), {one.phase, one.verdict, one.reasons});
    out.add_row(row);
  }
  return out.text();
}

}  // namespace evenfeed
