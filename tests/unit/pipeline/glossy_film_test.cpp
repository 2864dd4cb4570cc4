// SPDX-License-Identifier: MIT
#include "unit/live/bench_frames.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Run {
  Measurement measured;
  int begun_again;
};

Run run(const BenchFrames& made) {
  FeedMeasurer measurer(made.bench, made.profile, {});
  for (const FrameSightings& frame : made.frames) {
    measurer.add_frame(frame.t_s, frame.sightings);
  }
  Run done{{}, measurer.begun_again()};
  done.measured = measurer.finish();
  return done;
}

}  // namespace

TEST_CASE("over a glossy table feeds are what they are without their images") {
  const BenchFrames matt = bench_frames(6), glossy = glossy_frames(6);
  const Run bare = run(matt), both = run(glossy);
  CHECK(bare.begun_again == 0);
  CHECK(both.begun_again == 1);
  REQUIRE(bare.measured.fit.feeds.size() == 6);
  REQUIRE(both.measured.fit.feeds.size() == 6);
  CHECK(both.measured.counts.strays == bare.measured.counts.strays);
  for (std::size_t i = 0; i < 6; ++i) {
    using enum Characteristic;
    const Feed& there = bare.measured.fit.feeds[i];
    const Feed& here = both.measured.fit.feeds[i];
    CHECK(here.sightings == there.sightings);
    CHECK(std::abs(here[kX].value - there[kX].value) < 0.1 * there[kX].sigma);
  }
}

TEST_CASE("an image that is seen before its ball makes no row") {
  BenchFrames made = glossy_frames(6);
  const double until_s = made.bounce_s[3] - 0.22;
  for (FrameSightings& frame : made.frames) {
    if (frame.t_s < made.last_seen_s[2] || frame.t_s > until_s) continue;
    if (frame.sightings.size() == 2) {
      frame.sightings.erase(frame.sightings.begin());
    }
  }
  const Run hidden = run(made);
  CHECK(hidden.measured.fit.feeds.size() == 6);
  CHECK(hidden.measured.counts.feeds == 6);
}

// Frames are kept for two minutes: what was found before stays as it is.
TEST_CASE("a table that is known late to be glossy is known from there on") {
  BenchFrames made = glossy_frames(8);
  for (FrameSightings& frame : made.frames) {
    frame.t_s += 200;
    for (Sighting& s : frame.sightings) s.t_s += 200;
  }
  const Run late = run(made);
  CHECK(late.begun_again == 0);
  REQUIRE(late.measured.fit.feeds.size() >= 6);
  for (std::size_t i = late.measured.fit.feeds.size() - 3;
       i < late.measured.fit.feeds.size();
       ++i) {
    CHECK(late.measured.fit.feeds[i].status == FeedStatus::kMeasured);
  }
}
