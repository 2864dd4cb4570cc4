// SPDX-License-Identifier: MIT
#include "flight/foretold_rest.h"

#include "filmed_rally.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kSeekFps = 30;

// What a session's feeds share once they have been solved together.
FlightOptions told_by_session() {
  FlightOptions options;
  const FlightVector p = usual_flight();
  options.lift_in = {p[kLiftIn], 0.01};
  options.lift_out = {p[kLiftOut], 0.01};
  options.side_lift_in = {p[kSideLiftIn], 0.01};
  options.side_lift_out = {p[kSideLiftOut], 0.01};
  options.restitution.mean = -p[kVelocityOut + 2] / p[kVelocityIn + 2];
  const double kept = p[kVelocityOut] / p[kVelocityIn];
  const double slides = options.friction * (1 + options.restitution.mean) *
                        -p[kVelocityIn + 2] / p[kVelocityIn];
  options.kick = {kept - (1 - std::min(0.4, slides)), 0.02};
  return options;
}

CameraModel seen_from_aside() { return camera_at(35); }

std::vector<Sighting> seen(double from_s, double to_s, double later_s = 0) {
  FlightVector p = usual_flight();
  p[kTimeOfBounce] += later_s;
  RandomEngine random = derived_engine(4, "foretold", 0);
  auto all = sightings_of(p, seen_from_aside(), kSeekFps, 0.2, random);
  std::erase_if(all, [&](const Sighting& s) {
    return s.t_s < from_s + later_s || s.t_s >= to_s + later_s;
  });
  return all;
}

FoundFeed fitted(std::vector<Sighting> sightings) {
  FoundFeed feed;
  feed.sightings = std::move(sightings);
  feed.fit = fit_flight(feed.sightings, seen_from_aside(), told_by_session());
  REQUIRE(feed.fit.ok());
  return feed;
}

FoundFeed cut_at_bounce() {
  FoundFeed feed = fitted(seen(0, 1.0));
  REQUIRE_FALSE(feed.whole());
  return feed;
}

int seek(std::vector<FoundFeed>& found, std::vector<Track>& strays) {
  return find_foretold_rests(
      found, strays, seen_from_aside(), told_by_session());
}

// Another ball beside each of them.
std::vector<Sighting> beside(std::vector<Sighting> sightings, double off_px) {
  for (Sighting& s : sightings) s.centre_px.x() += off_px;
  return sightings;
}

bool together(const std::vector<Sighting>& all) {
  return std::is_sorted(
      all.begin(), all.end(), [](auto& a, auto& b) { return a.t_s < b.t_s; });
}

}  // namespace

TEST_CASE("the rest is picked out of other balls' tracks, one by one") {
  const std::vector<Sighting> rest = seen(1.0, 2);
  REQUIRE(rest.size() >= 5);
  // Every other sighting in a stray, the rest in what came back, each among
  // sightings of other balls.
  Track stray, back;
  for (std::size_t i = 0; i < rest.size(); ++i) {
    (i % 2 ? stray : back).sightings.push_back(rest[i]);
    (i % 2 ? back : stray).sightings.push_back(beside({rest[i]}, 60)[0]);
  }
  std::vector<Track> strays = {stray};
  std::vector<FoundFeed> found = {cut_at_bounce()};
  found[0].returned = {back};
  const std::size_t before = found[0].sightings.size();
  CHECK(seek(found, strays) == 0);
  REQUIRE(found[0].whole());
  CHECK(found[0].sightings.size() == before + rest.size());
  CHECK(found[0].fit.inliers() == static_cast<int>(before + rest.size()));
  CHECK(together(found[0].sightings));
  for (const Sighting& s : rest) {
    for (const Track& track : {strays.at(0), found[0].returned.at(0)}) {
      for (const Sighting& left : track.sightings) {
        CHECK(left.centre_px != s.centre_px);
      }
    }
  }
}

TEST_CASE("what a track was led to after the bounce is given up") {
  FoundFeed led = fitted(seen(0, 1.0));
  const std::vector<Sighting> rest = seen(1.0, 2);
  for (const std::size_t i : {0, 1}) {
    Sighting wrong = rest[i];
    wrong.centre_px.y() += i == 0 ? 12 : 22;
    led.sightings.push_back(wrong);
    led.fit.used.push_back(1);
    ++led.fit.after;
  }
  std::vector<Track> strays = {Track{rest}};
  std::vector<FoundFeed> found = {led};
  CHECK(seek(found, strays) == 0);
  REQUIRE(found[0].whole());
  CHECK(found[0].sightings.size() == led.sightings.size() - 2 + rest.size());
  CHECK(strays.empty());
}

TEST_CASE("other balls are no rest, nor are two sightings, nor what leaps") {
  const std::vector<Sighting> rest = seen(1.0, 2);
  Track late{rest};
  for (Sighting& s : late.sightings) s.t_s += 0.25;
  Track two{{rest[0], rest[1]}};
  Track leaping{rest};
  for (std::size_t i = 0; i < rest.size(); ++i) {
    leaping.sightings[i].centre_px.x() += i % 2 ? 0.55 : -0.55;
    leaping.sightings[i].centre_px.y() += i % 2 ? 0.5 : -0.5;
  }
  const Track near{beside(rest, 30)}, far{beside(rest, 60)};
  for (const Track& other : {near, far, late, two, leaping}) {
    CAPTURE(other.sightings[0].centre_px);
    std::vector<Track> strays = {other};
    std::vector<FoundFeed> found = {cut_at_bounce()};
    CHECK(seek(found, strays) == 0);
    CHECK_FALSE(found[0].whole());
    CHECK(strays.at(0).sightings.size() == other.sightings.size());
  }
}

// Seen five times, a quarter of a second before its bounce.
TEST_CASE("where hardly anything is foretold nothing is found") {
  std::vector<Sighting> rest = seen(1.0, 2);
  std::vector<Track> strays = {Track{rest}};
  std::vector<FoundFeed> found = {fitted(seen(0, 0.72))};
  REQUIRE(found[0].sightings.size() == 4);
  CHECK(seek(found, strays) == 0);
  CHECK_FALSE(found[0].whole());
}

TEST_CASE("what another flight uses stays its own") {
  const FoundFeed other = fitted(seen(0, 2));
  REQUIRE(other.whole());
  std::vector<Track> strays;
  std::vector<FoundFeed> found = {cut_at_bounce(), other};
  CHECK(seek(found, strays) == 0);
  CHECK_FALSE(found[0].whole());
  CHECK(found[1].sightings.size() == other.sightings.size());
}

TEST_CASE("a row that was nothing but another's rest is gone") {
  FoundFeed rest = fitted(seen(1.0, 2));
  REQUIRE_FALSE(rest.whole());
  rest.returned = {Track{seen(0, 1, 0.9)}};
  std::vector<Track> strays;
  std::vector<FoundFeed> found = {cut_at_bounce(), rest};
  found[0].returned = {Track{seen(0, 1, 1.2)}};
  CHECK(seek(found, strays) == 1);
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
  CHECK(found[0].returned.size() == 2);
}

TEST_CASE("a row that has more than another's rest stays, fitted anew") {
  FoundFeed rest = fitted(seen(1.0, 2));
  const std::vector<Sighting> own = seen(0, 2, 0.4);
  rest.sightings = merged_in_time(rest.sightings, own);
  rest.fit.used.assign(rest.sightings.size(), 1);
  rest.fit.after = 0;
  std::vector<Track> strays;
  std::vector<FoundFeed> found = {cut_at_bounce(), rest};
  CHECK(seek(found, strays) == 0);
  REQUIRE(found.size() == 2);
  CHECK(found[0].whole());
  CHECK(found[1].sightings.size() == own.size());
  CHECK(found[1].fit.used.size() == own.size());
}
