// SPDX-License-Identifier: MIT
#include "flight/launch_mouth.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// A fitted flight, as of a launcher that stands `aside_m` to the left of
// usual_flight()'s and `above_m` over it. `seen_after`: sightings behind the
// bounce.
FoundFeed fed_from(double aside_m, double above_m, int seen_after = 5) {
  FoundFeed feed;
  FlightVector p = usual_flight();
  p[kBounceY] += aside_m;
  // Steeper down is from higher up: the flight is 0.4 s long.
  p[kVelocityIn + 2] -= above_m / 0.4;
  feed.fit.status = FitStatus::kOk;
  feed.fit.parameters = p;
  feed.fit.covariance = 1e-10 * FlightCovariance::Identity();
  feed.fit.before = 20;
  feed.fit.after = seen_after;
  Sighting first;
  first.t_s = p[kTimeOfBounce] - 0.4;
  feed.sightings = {first};
  return feed;
}

// Feeds that scatter by a centimetre or two, and one more.
std::vector<FoundFeed> with(const FoundFeed& other, int feeds = 6) {
  std::vector<FoundFeed> found;
  for (int i = 0; i < feeds; ++i) {
    found.push_back(fed_from(0.01 * (i % 3 - 1), 0.01 * (i % 2)));
  }
  found.push_back(other);
  return found;
}

int dropped(const FoundFeed& other, int feeds = 6) {
  std::vector<FoundFeed> found = with(other, feeds);
  std::vector<Track> strays;
  const int count = drop_flights_from_elsewhere(found, strays, FlightOptions{});
  CHECK(strays.size() == static_cast<std::size_t>(count));
  REQUIRE(found.size() == static_cast<std::size_t>(feeds + 1 - count));
  return count;
}

}  // namespace

TEST_CASE("flights pass the mouth where they should") {
  const FoundFeed feed = fed_from(0.25, 0);
  const auto at = passing_point(feed.fit.parameters, {}, -1.0);
  const auto usual = passing_point(usual_flight(), {}, -1.0);
  REQUIRE(at);
  REQUIRE(usual);
  CHECK(at->x() - usual->x() == doctest::Approx(0.25).epsilon(0.01));
  CHECK(at->y() == doctest::Approx(usual->y()).epsilon(0.01));
}

TEST_CASE("who comes from elsewhere goes, the one that is elsewhere") {
  CHECK(dropped(fed_from(0.02, 0)) == 0);
  CHECK(dropped(fed_from(0.6, 0)) == 1);
  CHECK(dropped(fed_from(-0.6, 0)) == 1);
  CHECK(dropped(fed_from(0, 0.5)) == 1);
  std::vector<FoundFeed> found = with(fed_from(0.6, 0));
  std::swap(found.front(), found.back());
  std::vector<Track> strays;
  CHECK(drop_flights_from_elsewhere(found, strays, FlightOptions{}) == 1);
  REQUIRE(strays.size() == 1);
  CHECK(strays[0].sightings.size() == 1);
  for (const FoundFeed& feed : found) {
    CHECK(feed.fit.parameters[kBounceY] < 0.1);
  }
}

// The tube ends half a metre behind where feeds are first seen, over the
// table's end: a lob leaves it too, and is 0.3 m off where they are seen.
TEST_CASE("a ball thrown otherwise meets the others only at the mouth") {
  const FlightOptions options;
  const double mouth_x_m = -1.8;
  const auto mouth = passing_point(usual_flight(), options, mouth_x_m);
  const auto seen_at = flight_state(usual_flight(), options, 0.6).x_m;
  REQUIRE(mouth);
  REQUIRE(seen_at.x() - mouth_x_m > 0.2);
  FoundFeed lob = fed_from(0, 0);
  FlightVector& p = lob.fit.parameters;
  p[kVelocityIn] = 2.6;
  // Higher by as much as makes it pass the mouth.
  for (int i = 0; i < 30; ++i) {
    const auto at = passing_point(p, options, mouth_x_m);
    REQUIRE(at);
    p[kVelocityIn + 2] += 1.5 * (at->y() - mouth->y());
    p[kVelocityIn + 1] += 1.5 * (at->x() - mouth->x());
  }
  const auto where_seen = passing_point(p, options, seen_at.x());
  const auto usual = passing_point(usual_flight(), options, seen_at.x());
  REQUIRE(where_seen);
  REQUIRE(usual);
  CHECK(where_seen->y() - usual->y() > 0.16);
  lob.sightings[0].t_s = p[kTimeOfBounce] - 0.7;  // it takes longer
  CHECK(dropped(lob) == 0);
  // Of a piece that is first seen over the far half nobody knows that.
  FoundFeed late = lob;
  late.sightings[0].t_s = late.fit.parameters[kTimeOfBounce] - 0.1;
  CHECK(dropped(late) == 1);
  p[kBounceY] += 0.6;
  CHECK(dropped(lob) == 1);
}

TEST_CASE("a flight that never came from there is none") {
  FoundFeed backwards = fed_from(0, 0);
  backwards.fit.parameters[kVelocityIn] = -4.5;
  CHECK(dropped(backwards) == 1);
}

TEST_CASE("fewer than five do not show where the mouth is") {
  CHECK(dropped(fed_from(0.6, 0), 3) == 0);
  CHECK(dropped(fed_from(0.6, 0), 4) == 1);
}

// Lost before its bounce, seen from above: its height may be anything.
TEST_CASE("what a flight leaves uncertain may be the reason") {
  FoundFeed lost = fed_from(0, 0.5, 0);
  REQUIRE_FALSE(lost.whole());
  CHECK(dropped(lost) == 1);
  lost.fit.covariance(kVelocityIn + 2, kVelocityIn + 2) = 1;  // (m/s)^2
  CHECK(dropped(lost) == 0);
  // A whole flight is known well enough, whatever it says of itself.
  FoundFeed whole = fed_from(0, 0.5);
  whole.fit.covariance(kVelocityIn + 2, kVelocityIn + 2) = 1;
  CHECK(dropped(whole) == 1);
}

TEST_CASE("what was not fitted stays, as a row with its reason") {
  FoundFeed unfitted = fed_from(0.6, 0);
  unfitted.fit.status = FitStatus::kNoConvergence;
  CHECK(dropped(unfitted) == 0);
}
