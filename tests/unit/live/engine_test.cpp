// SPDX-License-Identifier: MIT
#include "live/engine.h"

#include "unit/live/bench_frames.h"

#include <algorithm>
#include <cmath>

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

TEST_CASE("a feed is told as its arc ends; all ends as a file would") {
  constexpr int kFeeds = 8;
  constexpr std::size_t kShown = 6;  // five have told how far single ones err
  const BenchFrames made = bench_frames(kFeeds);
  const Told told = run(made);
  const Measurement file = measured_as_file(made);
  REQUIRE(file.fit.feeds.size() == kFeeds);

  const std::vector<LiveEvent> feeds = told.of(LiveEventKind::kFeed);
  REQUIRE(feeds.size() == kFeeds);
  REQUIRE(told.state->feeds.size() == kFeeds);
  REQUIRE(told.measured.fit.feeds.size() == kFeeds);
  int within = 0;
  int values = 0;
  for (std::size_t i = 0; i < kFeeds; ++i) {
    CAPTURE(i);
    const Feed& at_once = feeds[i].feed.feed;
    CHECK(at_once.number == static_cast<int>(i) + 1);
    // One frame after it was last seen, not the two seconds a session waits.
    CHECK(feeds[i].t_s - made.last_seen_s[i] < 1.1 / 60);
    CHECK(at_once.status == FeedStatus::kMeasured);
    CHECK_FALSE(feeds[i].verdict.empty());
    const Feed& known = file.fit.feeds[i];
    const Feed& renewed = told.state->feeds[i].feed;
    for (const Characteristic id : {Characteristic::kX,
                                    Characteristic::kY,
                                    Characteristic::kSpeedIn,
                                    Characteristic::kDescent}) {
      CHECK(std::abs(at_once[id].value - known[id].value) <
            3 * std::hypot(at_once[id].sigma, known[id].sigma));
      ++values;
      // Renewed with a feed less than the file has; of so few each counts.
      within += std::abs(renewed[id].value - known[id].value) <=
                2 * std::hypot(renewed[id].sigma, known[id].sigma);
      CHECK(told.measured.fit.feeds[i][id].value == known[id].value);
      // What was told at once states what the session will, once some feeds
      // have shown how far single ones err.
      if (i >= kShown) {
        CHECK(at_once[id].sigma > 0.7 * known[id].sigma);
        CHECK(at_once[id].sigma < 1.5 * known[id].sigma);
      }
    }
  }
  CHECK(within >= 0.95 * values);
  CHECK(told.of(LiveEventKind::kWithdrawn).empty());
  CHECK(told.of(LiveEventKind::kBallSeen).size() == kFeeds);
  // Measured together, but for the last, which no longer settled.
  CHECK(told.state->renewals >= 3);
  CHECK(told.state->feeds.front().renewed);
  CHECK(told.state->word == BenchWord::kSettling);
  CHECK_FALSE(told.state->judged.holding_back.empty());
  const auto changes = told.of(LiveEventKind::kState);
  REQUIRE(changes.size() == 2);
  CHECK(changes[0].word == BenchWord::kSettling);
  CHECK(changes[1].word == BenchWord::kWriting);
}

// The first of them are told among their images, until the table is known.
TEST_CASE("over a glossy table all ends as a file would") {
  constexpr std::size_t kFeeds = 8;
  const BenchFrames made = glossy_frames(kFeeds);
  const Told told = run(made);
  const Measurement file = measured_as_file(made);
  REQUIRE(file.fit.feeds.size() == kFeeds);
  REQUIRE(told.measured.fit.feeds.size() == kFeeds);
  REQUIRE(told.state->feeds.size() == kFeeds);
  for (std::size_t i = 0; i < kFeeds; ++i) {
    CAPTURE(i);
    const Feed& known = file.fit.feeds[i];
    const Feed& shown = told.state->feeds[i].feed;
    CHECK(known.status == FeedStatus::kMeasured);
    CHECK(std::abs(known.t_bounce_s - made.bounce_s[i]) < 0.003);
    CHECK(std::abs(shown.t_bounce_s - made.bounce_s[i]) < 0.003);
    const Measured& x = known[Characteristic::kX];
    CHECK(std::abs(m_from_mm(x.value) - made.flights[i][kBounceX]) <
          4 * m_from_mm(x.sigma));
    CHECK(told.measured.fit.feeds[i][Characteristic::kX].value == x.value);
  }
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

TEST_CASE("what was seen long ago calls no launcher ready") {
  const BenchFrames made = bench_frames(1);
  std::vector<LiveEvent> events;
  LiveEngine engine(made.bench, made.profile, {}, [&](const LiveEvent& event) {
    events.push_back(event);
  });
  const auto word_after = [&](double behind_s) {
    FrameSightings frame;
    frame.index = engine.state()->frames;
    frame.t_s = frame.index / 60.0;
    engine.add(std::move(frame), behind_s);
    return engine.state()->word;
  };
  CHECK(word_after(0.1) == BenchWord::kWaiting);
  CHECK(word_after(4.9) == BenchWord::kWaiting);
  CHECK(word_after(5.1) == BenchWord::kBehind);
  CHECK(word_after(2) == BenchWord::kBehind);  // it would flicker
  CHECK(word_after(0.9) == BenchWord::kWaiting);
  CHECK(word_after(6) == BenchWord::kBehind);
  REQUIRE(events.size() == 3);
  CHECK(events[0].kind == LiveEventKind::kState);
  CHECK(events[0].words.find("no news for 5 s") != std::string::npos);
  // A camera that is gone is what is told, and its end.
  engine.tell_camera(false, 3, "nothing comes");
  CHECK(engine.state()->word == BenchWord::kCameraLost);
  const CameraWatch none(made.bench.camera, made.profile.surface, {});
  WatchNews last;
  last.settled_until_s = std::numeric_limits<double>::infinity();
  (void)engine.finish(last, none, 1);
  CHECK(engine.state()->word == BenchWord::kWriting);
  CHECK(events.back().word == BenchWord::kWriting);
}
