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

// Strong topspin: the ball leaves the bounce faster than it came, three sds of
// what is believed.
FlightVector topspin(int i) {
  RandomEngine random = derived_engine(2, "second look/topspin", i);
  std::normal_distribution<double> normal(0, 1);
  FlightVector p = usual_flight();
  p[kTimeOfBounce] += 2 * i;
  p[kBounceX] = 0.4 + 0.05 * normal(random);
  p.segment<3>(kVelocityIn) =
      Eigen::Vector3d(3.5 + 0.03 * normal(random), 0, -3.2);
  p.segment<3>(kVelocityOut) = Eigen::Vector3d(p[kVelocityIn] + 0.95, 0, 2.95);
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
    CHECK(made_up == 0);
  }
}

// Twelve feeds. Of every other the track ended at the bounce, if `cut`, and
// what was seen after it lies in two tracks, each led to and fro between two
// balls.
SessionFit fit_of_topspin(bool cut) {
  Bench bench;
  bench.camera = camera_at(35);
  bench.camera.readout_s = 0;
  std::vector<FoundFeed> found;
  std::vector<Track> strays;
  for (int i = 0; i < 12; ++i) {
    RandomEngine random = derived_engine(3, "second look/rest", i);
    const FlightVector p = topspin(i);
    FoundFeed feed;
    feed.sightings = sightings_of(p, bench.camera, 60, 0.3, random);
    if (cut && i % 2 == 1) {
      const auto bounce = std::partition_point(
          feed.sightings.begin(), feed.sightings.end(), [&](const auto& s) {
            return s.t_s < p[kTimeOfBounce];
          });
      Track tracks[2];
      for (auto s = bounce; s != feed.sightings.end(); ++s) {
        const auto even = (s - bounce) % 2;
        tracks[even].sightings.push_back(*s);
        Sighting other = *s;
        other.centre_px.x() += 90;
        tracks[1 - even].sightings.push_back(other);
      }
      strays.insert(strays.end(), std::begin(tracks), std::end(tracks));
      feed.sightings.erase(bounce, feed.sightings.end());
    }
    feed.fit = fit_flight(feed.sightings, bench.camera, FlightOptions{});
    CHECK(feed.whole() == (!cut || i % 2 == 0));
    found.push_back(std::move(feed));
  }
  return fit_session(found, bench, FlightOptions{}, {}, {}, strays);
}

SharedQuantity kick_of(const SessionFit& fit) {
  for (const SharedQuantity& shared : fit.shared) {
    if (shared.name.starts_with("kick")) return shared;
  }
  return {};
}

TEST_CASE("feeds seen whole tell how the others went on") {
  const SessionFit fit = fit_of_topspin(true);
  REQUIRE(fit.feeds.size() == 12);
  for (int i = 0; i < 12; ++i) {
    CAPTURE(i);
    const Feed& feed = fit.feeds[static_cast<std::size_t>(i)];
    REQUIRE(feed.status == FeedStatus::kMeasured);
    CHECK(std::abs(feed.t_bounce_s - topspin(i)[kTimeOfBounce]) <
          4 * feed.st_bounce_s);
  }
  // Solved again, all of them and from the profile's priors.
  const SharedQuantity kick = kick_of(fit);
  const SharedQuantity uncut = kick_of(fit_of_topspin(false));
  CHECK(kick.before.sd == FlightOptions{}.kick.sd);
  CHECK(kick.after.mean == doctest::Approx(uncut.after.mean).epsilon(1e-3));
  CHECK(kick.after.sd == doctest::Approx(uncut.after.sd).epsilon(1e-3));
}
