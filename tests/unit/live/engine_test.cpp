// SPDX-License-Identifier: MIT
#include "live/engine.h"

#include <algorithm>
#include <cmath>

#include "unit/live/bench_frames.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Told {
  std::vector<LiveEvent> events;
  Measurement measured;
  std::shared_ptr<const BenchState> state;

  std::vector<LiveEvent> of(LiveEventKind kind) const {
    std::vector<LiveEvent> some;
    std::copy_if(events.begin(),
                 events.end(),
                 std::back_inserter(some),
                 [&](const LiveEvent& one) { return one.kind == kind; });
    return some;
  }
};

Told run(const BenchFrames& made) {
  Told told;
  EngineOptions options;
  options.judging.quality = made.profile.quality;
  options.renew_apart = false;
  LiveEngine engine(
      made.bench, made.profile, options, [&](const LiveEvent& event) {
        told.events.push_back(event);
      });
  for (const FrameSightings& frame : made.frames) engine.add(frame);
  told.state = engine.state();
  WatchNews last;
  last.settled_until_s = std::numeric_limits<double>::infinity();
  const CameraWatch none(made.bench.camera, made.profile.surface, {});
  told.measured = engine.finish(last, none, 1);
  return told;
}

}  // namespace

TEST_CASE("a feed is told as its arc ends, once, and like the session's") {
  const BenchFrames made = bench_frames(7);
  const Told told = run(made);
  const Measurement file = measured_as_file(made);
  REQUIRE(file.fit.feeds.size() == 7);

  const std::vector<LiveEvent> feeds = told.of(LiveEventKind::kFeed);
  REQUIRE(feeds.size() == 7);
  int within = 0;
  int values = 0;
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    CAPTURE(i);
    const LiveFeed& one = feeds[i].feed;
    CHECK(one.feed.number == static_cast<int>(i) + 1);
    // Two frames after it was last seen, not the two seconds a session waits.
    CHECK(feeds[i].t_s - made.last_seen_s[i] < 2.1 / 60);
    CHECK(one.feed.status == FeedStatus::kMeasured);
    CHECK_FALSE(feeds[i].verdict.empty());
    const Feed& known = file.fit.feeds[i];
    for (const Characteristic id : {Characteristic::kX,
                                    Characteristic::kY,
                                    Characteristic::kSpeedIn,
                                    Characteristic::kDescent}) {
      ++values;
      within += std::abs(one.feed[id].value - known[id].value) <=
                std::hypot(one.feed[id].sigma, known[id].sigma);
    }
  }
  CHECK(within >= 0.95 * values);
  CHECK(told.of(LiveEventKind::kWithdrawn).empty());
  CHECK(told.of(LiveEventKind::kBallSeen).size() == 7);
}

TEST_CASE("at the end stands what a file of the same frames gives") {
  const BenchFrames made = bench_frames(5);
  const Told told = run(made);
  const Measurement file = measured_as_file(made);
  REQUIRE(told.measured.fit.feeds.size() == file.fit.feeds.size());
  for (std::size_t i = 0; i < file.fit.feeds.size(); ++i) {
    CHECK(told.measured.fit.feeds[i][Characteristic::kX].value ==
          file.fit.feeds[i][Characteristic::kX].value);
    CHECK(told.measured.fit.feeds[i].t_bounce_s ==
          file.fit.feeds[i].t_bounce_s);
  }
  // The state holds them too, measured together, but for the last.
  CHECK(told.state->feeds.size() == 5);
  CHECK(told.state->renewals >= 3);
  CHECK(told.state->feeds.front().renewed);
  CHECK(told.state->word == BenchWord::kSettling);
  CHECK_FALSE(told.state->judged.holding_back.empty());
  const auto changes = told.of(LiveEventKind::kState);
  REQUIRE(changes.size() == 1);
  CHECK(changes[0].word == BenchWord::kSettling);
}

TEST_CASE("a camera that is gone is a state of its own") {
  const BenchFrames made = bench_frames(1);
  std::vector<LiveEvent> events;
  LiveEngine engine(made.bench, made.profile, {}, [&](const LiveEvent& event) {
    events.push_back(event);
  });
  engine.tell_camera(false, 3, "no picture for 2 s");
  CHECK(engine.state()->word == BenchWord::kCameraLost);
  engine.tell_camera(false, 4, "no picture for 3 s");  // not told twice
  engine.tell_camera(true, 5, "pictures again after 4 s");
  CHECK(engine.state()->word == BenchWord::kWaiting);
  REQUIRE(events.size() == 4);
  CHECK(events[0].kind == LiveEventKind::kCameraLost);
  CHECK(events[1].kind == LiveEventKind::kState);
  CHECK(events[2].kind == LiveEventKind::kCameraBack);
}
