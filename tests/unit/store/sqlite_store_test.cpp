// SPDX-License-Identifier: MIT
#include "store/sqlite_store.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "session/feeds_file.h"
#include "store/schema.h"
#include "support/temp_dir.h"

#include <thread>

#include "store_sample.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Every field of a feed, by way of the text that would be written of it.
std::string feeds_as_text(const SessionRecord& record) {
  std::vector<Feed> feeds;
  std::string verdicts;
  for (const TaggedFeed& one : record.feeds) {
    feeds.push_back(one.feed);
    verdicts += one.phase + "," + one.verdict + "," + one.reasons + "\n";
  }
  return feeds_text(feeds) + verdicts;
}

}  // namespace

TEST_CASE("store: what is filed comes back") {
  const TempDir dir("store");
  const SessionRecord filed = sample_session("monday");
  {
    const auto store = open_store(dir / "a.db", StoreUse::kFile);
    CHECK(store->file_session(filed, false) == 1);
  }
  const auto store = open_store(dir / "a.db", StoreUse::kRead);
  const SessionRecord back = store->session(1);
  CHECK(feeds_as_text(back) == feeds_as_text(filed));
  CHECK(back.settings ==
        std::vector<Property>{{"angle", "12"}, {"wheel speed", "40"}});
  CHECK(back.sample_properties == filed.sample_properties);
  CHECK(back.profile_text == filed.profile_text);
  CHECK(back.bench_text == filed.bench_text);
  CHECK(back.baseline_text == filed.baseline_text);
  CHECK(back.summary_text == filed.summary_text);
  const SessionHead& head = back.head;
  CHECK(head.launcher == "bench A");
  CHECK(head.sample == "sheet K");
  CHECK(head.ball_set == "balls 3");
  CHECK(head.started_at == 1773500000);
  CHECK(head.filed_at == 1773600000);
  CHECK(head.source.path == "films/monday.mp4");
  CHECK(head.source.bytes == 1234567);
  CHECK(head.source.sha256 == sha256_of("monday"));
  CHECK(head.profile_name == "table-tennis");
  CHECK(head.ready);
  CHECK(head.ready_at_feed == 8);
  CHECK(head.stable_from_feed == 3);
  CHECK(head.note == "window open");
  CHECK(head.feeds == 12);
  CHECK(head.keep == 9);
  CHECK(head.review == 2);
  CHECK(head.discard == 1);
  CHECK(store->check().faults.empty());
  CHECK(store->check().feeds == 12);
  // Nothing was said: nothing is known.
  const SessionRecord bare = [&] {
    SessionRecord record = sample_session("bare", 0);
    record.head.ball_set.clear();
    record.head.ready = false;
    record.head.ready_at_feed.reset();
    record.baseline_text.clear();
    const auto writer = open_store(dir / "a.db", StoreUse::kWrite);
    return writer->session(writer->file_session(record, false));
  }();
  CHECK(bare.head.ball_set.empty());
  CHECK_FALSE(bare.head.ready);
  CHECK_FALSE(bare.head.ready_at_feed.has_value());
  CHECK(bare.baseline_text.empty());
  CHECK(bare.feeds.empty());
}

TEST_CASE("store: what is told of a sample last is what holds") {
  const TempDir dir("store");
  const auto store = open_store(dir / "a.db", StoreUse::kFile);
  SessionRecord later = sample_session("tuesday");
  later.sample_properties = {{"thickness_mm", "2.1"}, {"worn", "yes"}};
  REQUIRE(store->file_session(sample_session("monday"), false) == 1);
  REQUIRE(store->file_session(later, false) == 2);
  const std::vector<Property> known{
      {"hardness", "47"}, {"thickness_mm", "2.1"}, {"worn", "yes"}};
  CHECK(store->session(1).sample_properties == known);
  CHECK(store->session(2).sample_properties == known);
}

TEST_CASE("store: the same film is recognised, whatever it is called") {
  const TempDir dir("store-same");
  const auto store = open_store(dir / "a.db", StoreUse::kFile);
  store->file_session(sample_session("other"), false);
  const int first = store->file_session(sample_session("monday"), false);
  SessionRecord again = sample_session("monday", 20);
  again.head.source.path = "elsewhere/copy.mp4";
  CHECK_THROWS_WITH_AS(store->file_session(again, false),
                       doctest::Contains("already session 2"),
                       InputError);
  CHECK(store->session(first).feeds.size() == 12);
  CHECK(store->file_session(again, true) == first);
  CHECK(store->session(first).feeds.size() == 20);
  CHECK(store->sessions("").size() == 2);
  CHECK(store->find_film(sha256_of("monday"))->id == first);
  CHECK_FALSE(store->find_film(sha256_of("tuesday")).has_value());
  CHECK(store->check().faults.empty());
}

TEST_CASE("store: lists, service log and series in order of time") {
  const TempDir dir("store-lists");
  const auto store = open_store(dir / "a.db", StoreUse::kFile);
  SessionRecord late = sample_session("late");
  late.head.started_at += 86400;
  store->file_session(late, false);
  store->file_session(sample_session("early"), false);
  SessionRecord other = sample_session("other");
  other.head.launcher = "bench B";
  store->file_session(other, false);
  CHECK(store->launchers() == std::vector<std::string>{"bench A", "bench B"});
  const auto heads = store->sessions("bench A");
  REQUIRE(heads.size() == 2);
  CHECK(heads[0].source.path == "films/early.mp4");
  CHECK_THROWS_WITH_AS(store->sessions("bench C"),
                       doctest::Contains("Known: bench A, bench B"),
                       InputError);
  CHECK_THROWS_WITH_AS(
      store->session(99), doctest::Contains("no session 99"), InputError);

  store->add_service(
      {0, "bench A", 2000, ServiceKind::kWheelReplaced, "wheel 2", "", 40});
  store->add_service(
      {0, "bench A", 1000, ServiceKind::kNewBalls, "balls 4", "worn", 0});
  store->add_service(
      {0, "bench C", 500, ServiceKind::kWheelCleaned, "", "", 0});
  const auto events = store->services("bench A");
  REQUIRE(events.size() == 2);
  CHECK(events[0].kind == ServiceKind::kNewBalls);
  CHECK(events[0].item == "balls 4");
  CHECK(events[0].note == "worn");
  CHECK(events[1].item == "wheel 2");
  CHECK(events[1].unfilmed_feeds == 40);
  CHECK(store->services("bench C").size() == 1);

  int visited = 0;
  store->visit_series(
      "bench A",
      {Characteristic::kKick, Characteristic::kX},
      [&](const SessionSeries& series) {
        CHECK(series.head.id == (visited == 0 ? 2 : 1));
        REQUIRE(series.feeds.size() == 12);
        CHECK(series.settings.size() == 2);
        CHECK(series.bench == store->session(series.head.id).bench_text);
        CHECK_FALSE(series.bench.empty());
        CHECK(series.feeds[4] == 5);
        CHECK(series.t_launch_s[4] == 7.5);
        CHECK(series.values[0][4] == 500 + 11);  // kick is column 11
        CHECK(series.values[1][4] == 500);
        CHECK(std::isnan(series.values[1][3]));
        CHECK(series.discard[3] == 1);
        CHECK(series.discard[4] == 0);
        ++visited;
      });
  CHECK(visited == 2);
}

TEST_CASE("store: what is not a store is refused by name") {
  const TempDir dir("store-not");
  CHECK_THROWS_WITH_AS(open_store(dir / "absent.db", StoreUse::kRead),
                       doctest::Contains("absent.db: there is no such store"),
                       InputError);
  CHECK_THROWS_AS(open_store(dir / "absent.db", StoreUse::kWrite), InputError);
  CHECK_FALSE(std::filesystem::exists(dir / "absent.db"));
  CHECK_THROWS_AS(open_store(dir / "none" / "a.db", StoreUse::kFile),
                  InputError);
  CHECK_THROWS_WITH_AS(open_store(dir.path(), StoreUse::kFile),
                       doctest::Contains("folder"),
                       InputError);
  const std::string text(5000, 'x');
  write_file_whole(dir / "text.db", text);
  for (const StoreUse use : {StoreUse::kRead, StoreUse::kFile}) {
    CHECK_THROWS_WITH_AS(open_store(dir / "text.db", use),
                         doctest::Contains("not a store"),
                         InputError);
  }
  CHECK(read_file(dir / "text.db") == text);
  {
    Database foreign(dir / "foreign.db", OpenMode::kCreate, 0);
    foreign.execute("CREATE TABLE recipe(name TEXT)");
  }
  CHECK_THROWS_WITH_AS(open_store(dir / "foreign.db", StoreUse::kFile),
                       doctest::Contains("not a store of sessions"),
                       InputError);
}

TEST_CASE("store: a copy is whole, and never over another file") {
  const TempDir dir("store-copy");
  const auto store = open_store(dir / "a.db", StoreUse::kFile);
  store->file_session(sample_session("monday"), false);
  store->back_up(dir / "copy.db");
  store->file_session(sample_session("tuesday"), false);
  CHECK_THROWS_AS(store->back_up(dir / "copy.db"), InputError);
  const auto copy = open_store(dir / "copy.db", StoreUse::kRead);
  CHECK(copy->check().faults.empty());
  CHECK(copy->sessions("").size() == 1);
}

TEST_CASE("store: a launcher gets another name, or two become one") {
  const TempDir dir("store-rename");
  const auto store = open_store(dir / "a.db", StoreUse::kFile);
  const auto file = [&](const char* film, const char* launcher) {
    SessionRecord record = sample_session(film);
    record.head.launcher = launcher;
    return store->file_session(record, false);
  };
  file("monday", "bench a");
  file("tuesday", "bench A");
  store->add_service({0,
                      "bench a",
                      1773400000,
                      ServiceKind::kWheelReplaced,
                      "wheel 2",
                      "",
                      0});
  CHECK_THROWS_WITH_AS(store->rename_launcher("bench b", "bench A"),
                       doctest::Contains("no launcher 'bench b'"),
                       InputError);
  CHECK(store->rename_launcher("bench a", "left") == 1);
  CHECK(store->launchers() == std::vector<std::string>{"bench A", "left"});
  CHECK(store->rename_launcher("left", "left") == 1);
  CHECK(store->rename_launcher("left", "bench A") == 2);
  CHECK(store->launchers() == std::vector<std::string>{"bench A"});
  CHECK(store->sessions("bench A").size() == 2);
  const auto services = store->services("bench A");
  REQUIRE(services.size() == 1);
  CHECK(services[0].item == "wheel 2");
  CHECK(store->check().faults.empty());
}
