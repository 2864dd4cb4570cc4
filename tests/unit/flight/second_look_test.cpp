// SPDX-License-Identifier: MIT
#include "flight/session_fit.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Feeds that spin backwards and grip: from straight above, the jump of their
// velocity lies almost along the line of sight.
FlightVector backspin(RandomEngine& random) {
  std::normal_distribution<double> normal(0, 1);
  FlightVector p = FlightVector::Zero();
  p[kTimeOfBounce] = 1.0;
  p[kBounceX] = 1.1 + 0.05 * normal(random);
  p[kBounceY] = 0.02 * normal(random);
  p.segment<3>(kVelocityIn) =
      Eigen::Vector3d(3.47 + 0.02 * normal(random), 0, -2.75);
  p.segment<3>(kVelocityOut) = Eigen::Vector3d(1.95, 0, 2.62);
  p[kLiftIn] = 0.35 + 0.01 * normal(random);
  p[kLiftOut] = -0.1;
  p[kDrag] = 0.5;
  return p;
}

}  // namespace

// 16 feeds at 60 a second, scattering by 0.6 px where 0.3 are stated. Half of
// them are lost 40 ms before they bounce.
TEST_CASE("a bounce that was not seen is not made up") {
  for (const double side_deg : {0.0, 45.0}) {
    CAPTURE(side_deg);
    const CameraModel camera = camera_at(side_deg);
    Bench bench;
    bench.camera = camera;
    bench.camera.readout_s = 0;
    std::vector<FoundFeed> found;
    for (int i = 0; i < 16; ++i) {
      RandomEngine random = derived_engine(1, "second look/lost", i);
      FoundFeed feed;
      FlightVector p = backspin(random);
      p[kTimeOfBounce] += 2 * i;
      const double after_s = i % 2 == 0 ? 0.17 : -0.04;
      feed.sightings = sightings_of(p, camera, 60, 0.6, random, after_s);
      for (Sighting& s : feed.sightings) s.sigma_px = 0.3;
      feed.fit = fit_flight(feed.sightings, camera, FlightOptions{});
      found.push_back(std::move(feed));
    }
    const SessionFit fit = fit_session(found, bench, FlightOptions{}, {});
    REQUIRE(fit.feeds.size() == 16);
    int made_up = 0, seen = 0;
    for (int i = 0; i < 16; ++i) {
      const bool measured = fit.feeds[static_cast<std::size_t>(i)].status ==
                            FeedStatus::kMeasured;
      (i % 2 == 0 ? seen : made_up) += measured;
    }
    CHECK(seen == 8);
    CHECK(made_up <= 1);
  }
}
