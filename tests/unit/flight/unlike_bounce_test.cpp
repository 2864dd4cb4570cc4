// SPDX-License-Identifier: MIT
#include "flight/unlike_bounce.h"

#include <cstddef>
#include <random>
#include <utility>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kNoise_px = 0.2;

// Whole, but for all sightings after the first `after` behind its bounce.
FoundFeed seen_after(const FlightVector& p,
                     std::size_t after,
                     const CameraModel& camera,
                     RandomEngine& random) {
  FoundFeed feed;
  for (const Sighting& s : sightings_of(p, camera, 30, kNoise_px, random)) {
    after -= s.t_s > p[kTimeOfBounce] ? 1 : 0;
    feed.sightings.push_back(s);
    if (after == 0) break;
  }
  feed.fit = fit_flight(feed.sightings, camera, {});
  return feed;
}

struct Session {
  CameraModel camera = camera_at(35);
  RandomEngine random = derived_engine(1, "unlike bounce", 0);
  std::vector<FoundFeed> found;

  FlightVector flight(double kept) {
    std::normal_distribution<double> normal(0, 0.03);
    FlightVector p = usual_flight();
    p[kBounceX] += normal(random);
    p[kVelocityOut] = kept * p[kVelocityIn] + normal(random);
    return p;
  }
  // Some are not found whole when they were seen so seldom.
  void add(double kept, std::size_t after) {
    FoundFeed feed;
    for (int tries = 0; tries < 20 && !feed.whole(); ++tries) {
      feed = seen_after(flight(kept), after, camera, random);
    }
    REQUIRE(feed.whole());
    found.push_back(std::move(feed));
  }
};

}  // namespace

TEST_CASE("a bounce that was hardly seen is not unlike all others") {
  Session session;
  for (int i = 0; i < 6; ++i) session.add(0.8, 6);
  session.add(0.8, 2);
  session.add(0.5, 2);
  session.add(0.5, 6);
  refuse_unlike_bounces(session.found);
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    CAPTURE(i);
    CHECK(session.found[i].fit.ok() == (i != 7));
  }
  const std::string& why = session.found[7].fit.message;
  CAPTURE(why);
  CHECK(why.find("seen twice after its bounce") != std::string::npos);
}

TEST_CASE("a few feeds do not say what bounces are like") {
  Session session;
  for (int i = 0; i < 3; ++i) session.add(0.8, 6);
  session.add(0.5, 2);
  refuse_unlike_bounces(session.found);
  CHECK(session.found.back().fit.ok());
}

TEST_CASE("where all bounces are hardly seen, most of them say what is usual") {
  Session session;
  session.add(0.3, 2);
  for (int i = 0; i < 8; ++i) session.add(0.8, 2);
  refuse_unlike_bounces(session.found);
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    CAPTURE(i);
    CHECK(session.found[i].fit.ok() == (i != 0));
  }
}
