// SPDX-License-Identifier: MIT
#include "base/random.h"
#include "pipeline/measure.h"
#include "support/table_camera.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("noise makes no feeds") {
  Bench bench;
  bench.camera.width_px = 1280;
  bench.camera.height_px = 720;
  bench.camera.lens = {960, 639.5, 359.5, 0, 0};
  bench.camera.camera_from_table =
      look_at({0.35, -1.0, 2.35}, {0.35, 0, 0}, {0, 0, 1});
  const Profile profile =
      load_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  constexpr int kFrames = 80;
  for (const int per_frame : {2, 10}) {
    CAPTURE(per_frame);
    RandomEngine random = derived_engine(1, "noise", per_frame);
    std::uniform_real_distribution<double> u(0, 1280), v(0, 720);
    std::vector<Sighting> sightings;
    for (int frame = 0; frame < kFrames; ++frame) {
      for (int i = 0; i < per_frame; ++i) {
        Sighting s;
        s.t_s = frame / 60.;
        s.centre_px = {u(random), v(random)};
        s.sigma_px = 0.3;
        sightings.push_back(s);
      }
    }
    const Measurement measured =
        measure_sightings(std::move(sightings), bench, profile, {});
    int called_measured = 0;
    for (const Feed& feed : measured.fit.feeds) {
      called_measured += feed.status != FeedStatus::kUnmeasured;
    }
    CHECK(called_measured == 0);
    CHECK(measured.frames == kFrames);
  }
}
