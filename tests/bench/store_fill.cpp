// SPDX-License-Identifier: MIT
// A store of a million feeds, to time 'evenfeed store list' and 'evenfeed
// wear' on; every value and its uncertainty is there, as a film would give it.
//   store_fill FILE [--sessions 5000] [--feeds 200]
#include "base/random.h"
#include "base/sha256.h"
#include "store/sqlite_store.h"

#include <chrono>
#include <cstring>
#include <filesystem>
#include <random>

#include <fmt/format.h>

using namespace evenfeed;

namespace {

SessionRecord session(int index, int feeds) {
  auto engine = derived_engine(1, "store fill", index);
  std::normal_distribution<double> normal;
  const double levels[kCharacteristicCount] = {720,
                                               10,
                                               6,
                                               0.1,
                                               -2,
                                               4.3,
                                               0.1,
                                               2,
                                               6.4,
                                               0.4,
                                               21,
                                               0.72,
                                               0.6,
                                               0.31,
                                               0.5,
                                               12,
                                               210,
                                               2600};
  SessionRecord record;
  record.head.launcher = "bench-A";
  record.head.sample = index % 2 ? "sheet K" : "sheet M";
  record.head.started_at = 1600000000 + 86400LL * index / 3;
  record.head.filed_at = record.head.started_at;
  record.head.source = {fmt::format("films/{:05}.mp4", index),
                        100000000,
                        sha256_of(fmt::format("film {}", index))};
  record.head.profile_name = "table-tennis";
  record.head.ready = true;
  record.head.stable_from_feed = 1;
  const double setup = 1 + 0.01 * normal(engine);
  for (int i = 0; i < feeds; ++i) {
    TaggedFeed one;
    one.feed.number = i + 1;
    one.feed.t_launch_s = 1.5 * i;
    one.feed.t_bounce_s = 1.5 * i + 0.31;
    one.feed.st_bounce_s = 0.0005;
    for (int c = 0; c < kCharacteristicCount; ++c) {
      one.feed.values[static_cast<std::size_t>(c)] = {
          levels[c] * setup * (1 + 0.02 * normal(engine)), 0.01};
    }
    one.feed.rho_xy = 0.1;
    one.feed.sightings = 20;
    one.feed.rms_px = 0.3;
    one.feed.status = FeedStatus::kMeasured;
    one.phase = "monitor";
    one.verdict = "keep";
    record.feeds.push_back(one);
  }
  return record;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    fmt::print(stderr, "store_fill FILE [--sessions N] [--feeds N]\n");
    return 2;
  }
  int sessions = 5000;
  int feeds = 200;
  for (int i = 2; i + 1 < argc; i += 2) {
    if (!std::strcmp(argv[i], "--sessions")) sessions = std::atoi(argv[i + 1]);
    if (!std::strcmp(argv[i], "--feeds")) feeds = std::atoi(argv[i + 1]);
  }
  const auto began = std::chrono::steady_clock::now();
  {
    const auto store = open_store(argv[1], StoreUse::kFile);
    for (int i = 0; i < sessions; ++i) {
      store->file_session(session(i, feeds), false);
    }
  }
  const double took_s =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - began)
          .count();
  const auto bytes = std::filesystem::file_size(argv[1]);
  fmt::print(
      "{} sessions, {} feeds filed in {:.1f} s, {:.2f} ms a session; "
      "{} bytes, {:.0f} a feed\n",
      sessions,
      sessions * feeds,
      took_s,
      1000 * took_s / sessions,
      bytes,
      static_cast<double>(bytes) / (double(sessions) * feeds));
}
