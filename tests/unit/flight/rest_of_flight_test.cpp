// SPDX-License-Identifier: MIT
#include "flight/rest_of_flight.h"

#include "flight/track_builder.h"

#include "filmed_rally.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kRestFps = 60;

// From a tripod behind the launcher's end, 25 degrees above the table: what
// falls seems to come back.
CameraModel low_camera() {
  CameraModel camera;
  camera.width_px = 1920;
  camera.height_px = 1080;
  camera.lens = {1100, 959.5, 539.5, -0.05, 0};
  camera.camera_from_table = look_at({-3.2, 0.4, 1.5}, {0.3, 0, 0}, {0, 0, 1});
  return camera;
}

std::vector<Sighting> all_sightings(double bounce_s = 1) {
  FlightVector p = usual_flight();
  p[kTimeOfBounce] = bounce_s;
  RandomEngine random = derived_engine(1, "rest", static_cast<int>(bounce_s));
  return sightings_of(p, low_camera(), kRestFps, 0.2, random);
}

std::vector<Sighting> part(double from_s, double to_s) {
  std::vector<Sighting> some = all_sightings();
  std::erase_if(
      some, [&](const Sighting& s) { return s.t_s < from_s || s.t_s >= to_s; });
  return some;
}

FoundFeed piece_of(std::vector<Sighting> sightings) {
  FoundFeed piece;
  piece.sightings = std::move(sightings);
  piece.fit = fit_flight(piece.sightings, low_camera(), FlightOptions{});
  REQUIRE_FALSE(piece.whole());
  return piece;
}

int take_in(std::vector<FoundFeed>& found, std::vector<Track>& strays) {
  return take_in_rests(found, strays, low_camera(), FlightOptions{});
}

}  // namespace

TEST_CASE("the rest of a flight is found wherever it was put") {
  const Track rest{part(1.005, 2)};
  std::vector<Track> strays = {rest};
  std::vector<FoundFeed> found = {piece_of(part(0, 1.005))};
  CHECK(take_in(found, strays) == 0);
  CHECK(found[0].whole());
  CHECK(strays.empty());

  found = {piece_of(part(0, 1.005))};
  found[0].returned = {rest};
  CHECK(take_in(found, strays) == 0);
  CHECK(found[0].whole());
  CHECK(found[0].returned.empty());

  found = {piece_of(rest.sightings), piece_of(part(0, 1.005))};
  CHECK(take_in(found, strays) == 1);
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
  CHECK(found[0].sightings.size() == all_sightings().size());
}

TEST_CASE("what came back stays with the flight, whichever piece it was of") {
  const Track back{part(1.005, 1.05)};  // any track
  std::vector<Track> strays;
  std::vector<FoundFeed> found = {piece_of(part(0, 1.005)),
                                  piece_of(part(1.005, 2))};
  found[1].returned = {back};
  CHECK(take_in(found, strays) == 1);
  REQUIRE(found.size() == 1);
  CHECK(found[0].returned.size() == 1);

  FoundFeed first = piece_of(part(0, 1.005));
  first.fit.after = 2;
  REQUIRE(first.whole());
  first.returned = {back};
  found = {first, piece_of(part(1.005, 2))};
  CHECK(take_in(found, strays) == 1);
  REQUIRE(found.size() == 1);
  CHECK(found[0].returned.size() == 1);
}

TEST_CASE("what another ball did, or the sample, is no rest of a flight") {
  std::vector<FoundFeed> found = {piece_of(part(0, 1.005))};
  Track beside{part(1.005, 2)};
  for (Sighting& s : beside.sightings) s.centre_px.x() += 80;
  Track late{part(1.005, 2)};
  for (Sighting& s : late.sightings) s.t_s += 0.5;
  const Rally one = rally();
  Track back;  // from the sample, right after the piece
  for (int i = 0; i < 20; ++i) {
    Sighting s;
    s.t_s = one.t_contact_s + i / kRestFps;
    s.centre_px = *low_camera().project(
        flight_state(one.back, FlightOptions{}, Arc::kIn, s.t_s).x_m);
    s.sigma_px = 0.2;
    back.sightings.push_back(s);
  }
  for (const Track& other : {beside, late, back}) {
    CAPTURE(other.start_s());
    std::vector<FoundFeed> again = found;
    std::vector<Track> strays = {other};
    CHECK(take_in(again, strays) == 0);
    CHECK_FALSE(again[0].whole());
    CHECK(strays.size() == 1);
  }
}

TEST_CASE("what flies on after the sample is left to the return") {
  const Rally one = rally();
  std::vector<Sighting> rest = part(1.005, one.t_contact_s);
  for (int i = 1; i < 20; ++i) {
    Sighting s;
    s.t_s = rest.back().t_s + 1 / kRestFps;
    s.sigma_px = 0.2;
    s.centre_px = *low_camera().project(
        flight_state(one.back, FlightOptions{}, Arc::kIn, s.t_s).x_m);
    rest.push_back(s);
  }
  std::vector<Track> strays = {Track{rest}};
  std::vector<FoundFeed> found = {piece_of(part(0, 1.005))};
  CHECK(take_in(found, strays) == 0);
  REQUIRE(found[0].whole());
  REQUIRE(found[0].returned.size() == 1);
  CHECK(found[0].returned[0].start_s() > one.t_contact_s - 0.03);
}

TEST_CASE("the way to the bounce is found before the piece that follows it") {
  const Track before{part(0, 1.005)};
  std::vector<Track> strays = {before};
  std::vector<FoundFeed> found = {piece_of(part(1.005, 2))};
  CHECK(take_in(found, strays) == 0);
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
  CHECK(strays.empty());

  // Taken for a whole flight that turned at its last sightings.
  FoundFeed first = piece_of(part(0, 1.005));
  first.fit.after = 2;
  REQUIRE(first.whole());
  found = {first, piece_of(part(1.005, 2))};
  CHECK(take_in(found, strays) == 1);
  REQUIRE(found.size() == 1);
  CHECK(found[0].sightings.size() == all_sightings().size());
}
