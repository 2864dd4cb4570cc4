// SPDX-License-Identifier: MIT
#include "live/judge.h"

#include "base/csv.h"
#include "session/feeds_file.h"
#include "support/launcher.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<Feed> feeds_of(const TrialTable& table) {
  std::vector<Feed> feeds;
  for (int i = 0; i < table.rows(); ++i) {
    Feed feed;
    feed.number = i + 1;
    feed.status = FeedStatus::kMeasured;
    for (int j = 0; j < table.columns(); ++j) {
      const auto id = find_characteristic(
          table.characteristics[static_cast<std::size_t>(j)]);
      feed[*id] = {table.values(i, j), 1e-3};
    }
    feeds.push_back(feed);
  }
  return feeds;
}

}  // namespace

TEST_CASE("feed by feed, anew and as a file give one verdict") {
  LauncherFault fault;
  fault.step = 4;
  std::vector<Feed> feeds = feeds_of(simulate_trial(fault, 60, 3).table);
  feeds[7] = Feed();
  feeds[7].number = 8;
  feeds[7].note = "stopped at the net";
  const Qualification file =
      qualify(read_trial(CsvTable::parse(feeds_text(feeds), "f.csv")), {});

  Judge anew({});
  anew.restart(feeds);
  Judge by_one({});
  int ready_at = 0;
  for (const Feed& feed : feeds) {
    by_one.add(feed);
    if (by_one.result().ready && ready_at == 0) ready_at = feed.number;
  }
  REQUIRE(file.ready_at_feed);
  CHECK(ready_at == *file.ready_at_feed);
  CHECK_FALSE(file.signals.empty());
  for (const Qualification* live : {&anew.result(), &by_one.result()}) {
    CHECK(live->ready == file.ready);
    CHECK(live->ready_at_feed == file.ready_at_feed);
    CHECK(live->signals.size() == file.signals.size());
    REQUIRE(live->tags.size() == file.tags.size());
    for (std::size_t i = 0; i < file.tags.size(); ++i) {
      CAPTURE(i);
      CHECK(live->tags[i].verdict == file.tags[i].verdict);
    }
  }
  CHECK(by_one.result().tags[7].reasons.front().find("net") !=
        std::string::npos);
}

TEST_CASE("it tells about how many feeds are missing") {
  const std::vector<Feed> feeds = feeds_of(simulate_trial({}, 12, 4).table);
  Judge judge({});
  for (const Feed& feed : feeds) judge.add(feed);
  CHECK_FALSE(judge.result().ready);
  CHECK(judge.result().more_feeds == 8);  // of a window of twenty
}
