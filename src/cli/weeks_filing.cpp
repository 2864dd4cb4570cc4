// SPDX-License-Identifier: MIT
#include "cli/weeks_filing.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/sha256.h"
#include "base/version.h"
#include "cli/filing_args.h"
#include "quality/baseline_file.h"
#include "quality/kept_session.h"
#include "session/feeds_file.h"

#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

constexpr Characteristic kFiledColumns[kWornColumns] = {
    Characteristic::kX,
    Characteristic::kY,
    Characteristic::kSpeedIn,
    Characteristic::kHeading,
    Characteristic::kDescent,
    Characteristic::kKick,
    Characteristic::kTurn};

std::vector<Feed> feeds_of(const WeeksSession& session) {
  std::vector<Feed> feeds;
  for (const WeeksFeed& one : session.feeds) {
    Feed feed;
    feed.number = static_cast<int>(feeds.size()) + 1;
    feed.t_launch_s = one.t_launch_s;
    feed.timing = "truth";
    feed.status = FeedStatus::kMeasured;
    for (int c = 0; c < kWornColumns; ++c) {
      feed[kFiledColumns[c]].value = one.values[c];
    }
    feeds.push_back(feed);
  }
  return feeds;
}

ServiceEvent event_of(const WeeksScenario& scenario, const WeeksService& one) {
  const auto kind = find_service_kind(one.kind);
  if (!kind) {
    throw UsageError(fmt::format("service kind = {}: allowed are {}",
                                 one.kind,
                                 fmt::join(service_kind_names(), ", ")));
  }
  ServiceEvent event;
  event.launcher = scenario.launcher;
  event.at = scenario.start + std::llround(86400 * one.day);
  event.kind = *kind;
  event.item = one.item;
  return event;
}

}  // namespace

SessionRecord weeks_record(const WeeksScenario& scenario,
                           const WeeksSession& session,
                           int index,
                           const WeeksFiling& filing) {
  SessionRecord record;
  const std::vector<Feed> feeds = feeds_of(session);
  const CsvTable table = CsvTable::parse(feeds_text(feeds), "feeds.csv");
  const Qualification result = qualify(
      read_trial(table, filing.quality.characteristics), filing.quality);
  SessionHead& head = record.head;
  head.launcher = scenario.launcher;
  head.sample = session.sample;
  head.started_at = session.started_at;
  head.filed_at = session.started_at;
  head.program_version = program_version();
  head.source.path = fmt::format("simulated, seed {}", filing.seed);
  head.source.sha256 = sha256_of(fmt::format(
      "{}\nseed {}, session {}", filing.scenario_text, filing.seed, index));
  head.profile_name = filing.profile_name;
  head.ready = result.ready;
  head.ready_at_feed = result.ready_at_feed;
  head.stable_from_feed = result.stable_from_feed;
  head.note = "simulated";
  record.profile_text = filing.profile_text;
  if (result.baseline.ok && !result.baseline_provisional) {
    record.baseline_text = baseline_text(result.baseline);
  }
  record.summary_text = summary_for_store(result);
  record.feeds = tagged_feeds(feeds, result);
  return record;
}

int file_weeks(const WeeksScenario& scenario,
               const WeeksFiling& filing,
               Store& store) {
  std::vector<ServiceEvent> events;
  for (const WeeksService& one : scenario.services) {
    events.push_back(event_of(scenario, one));
  }
  int feeds = 0;
  int index = 0;
  for (const WeeksSession& one : simulate_weeks(scenario, filing.seed)) {
    store.file_session(weeks_record(scenario, one, index++, filing), false);
    feeds += static_cast<int>(one.feeds.size());
  }
  for (const ServiceEvent& one : events) store.add_service(one);
  return feeds;
}

}  // namespace evenfeed
