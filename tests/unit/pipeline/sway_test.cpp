// SPDX-License-Identifier: MIT
#include "pipeline/feed_measurer.h"
#include "unit/flight/flight_bench.h"

#include <cstddef>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<Feed> measured(const CameraSway& sway) {
  Bench bench;
  bench.camera = camera_at(30);
  bench.camera.readout_s = 0;
  bench.camera.exposure_s = 0;
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  FeedMeasurer measurer(bench, profile, {});
  for (int i = 0; i < 6; ++i) {
    RandomEngine random = derived_engine(1, "swaying film", i);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] = 1.0 + 1.5 * i;
    for (const Sighting& s : sightings_of(p, bench.camera, 60, 0.2, random)) {
      measurer.add_frame(s.t_s, {s});
    }
  }
  return measurer.finish(sway).fit.feeds;
}

}  // namespace

TEST_CASE("a camera's sway is in what a session states of its feeds") {
  const std::vector<Feed> steady = measured({});
  const std::vector<Feed> swaying = measured({2, 5});
  REQUIRE(steady.size() == 6);
  REQUIRE(swaying.size() == 6);
  for (std::size_t i = 0; i < steady.size(); ++i) {
    using enum Characteristic;
    CHECK(swaying[i][kX].value == steady[i][kX].value);
    // 2 px are some 5 mm from 2.9 m with a focal length of 1000 px.
    CHECK(swaying[i][kX].sigma > steady[i][kX].sigma + 2);
  }
}
