// SPDX-License-Identifier: MIT
#include "flight/reunite_pieces.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kPiecesFps = 120;

CameraModel camera() { return camera_at(30); }

std::vector<Sighting> usual_sightings() {
  RandomEngine random = derived_engine(1, "pieces");
  return sightings_of(usual_flight(), camera(), kPiecesFps, 0.2, random);
}

FoundFeed found_from(std::vector<Sighting> sightings) {
  FoundFeed feed;
  feed.sightings = std::move(sightings);
  feed.fit = fit_flight(feed.sightings, camera(), FlightOptions{});
  return feed;
}

// The part before the bounce, seen again `beside` it.
FoundFeed piece_beside(const Eigen::Vector2d& beside_px) {
  std::vector<Sighting> sightings = usual_sightings();
  std::erase_if(sightings, [](const Sighting& s) { return s.t_s > 0.97; });
  for (Sighting& s : sightings) s.centre_px += beside_px;
  FoundFeed piece = found_from(std::move(sightings));
  REQUIRE(piece.fit.ok());
  REQUIRE_FALSE(piece.whole());
  return piece;
}

}  // namespace

TEST_CASE("a piece that lies on a whole flight is taken in") {
  auto first = usual_sightings();
  auto rest = first;
  std::erase_if(first, [](const Sighting& s) { return s.t_s < 0.80; });
  std::erase_if(rest, [](const Sighting& s) { return s.t_s >= 0.80; });
  std::vector<FoundFeed> found = {found_from(first), found_from(rest)};
  REQUIRE(found[0].whole());
  found[0].returned = {Track{rest}};  // any tracks
  found[1].returned = {Track{rest}};
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) == 0);
  REQUIRE(found.size() == 1);
  CHECK(found[0].sightings.size() == usual_sightings().size());
  CHECK(found[0].returned.size() == 2);
}

TEST_CASE("a ball seen twice, or its shadow, is one feed") {
  std::vector<FoundFeed> found = {piece_beside({4, 6}),
                                  found_from(usual_sightings())};
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) == 1);
  REQUIRE(found.size() == 1);
  CHECK(found[0].whole());
}

TEST_CASE(
    "the longer part of a ball's flight is not given up for the shorter") {
  FoundFeed longer = piece_beside({4, 6});
  // Strays it was led along keep it from being taken in.
  for (Sighting s : std::vector<Sighting>(longer.sightings)) {
    s.centre_px.x() += 200;
    longer.sightings.insert(longer.sightings.end(), 2, s);
  }
  auto last = usual_sightings();
  std::erase_if(last, [](const Sighting& s) { return s.t_s < 0.95; });
  std::vector<FoundFeed> found = {longer, found_from(last)};
  REQUIRE(found[1].whole());
  REQUIRE(found[0].fit.inliers() > found[1].fit.inliers());
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) == 0);
  CHECK(found.size() == 2);
}

TEST_CASE("another ball in the air at the same time is another feed") {
  std::vector<FoundFeed> found = {piece_beside({0, 120}),
                                  found_from(usual_sightings())};
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) == 0);
  CHECK(found.size() == 2);
}

TEST_CASE("what is too short to be fitted counts only by itself") {
  auto few = usual_sightings();
  few.resize(3);
  FoundFeed piece;
  piece.sightings = few;
  piece.fit.status = FitStatus::kTooFewSightings;
  for (Sighting& s : piece.sightings) s.centre_px.y() += 60;
  std::vector<FoundFeed> found = {piece, found_from(usual_sightings())};
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) == 1);
  CHECK(found.size() == 1);
  for (Sighting& s : piece.sightings) s.t_s += 5;  // alone in the air
  found = {piece, found_from(usual_sightings())};
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) == 0);
  CHECK(found.size() == 2);
}

TEST_CASE("what follows the bounce of a flight that ended there is its ball") {
  auto first = usual_sightings();
  auto rest = first;
  std::erase_if(first, [](const Sighting& s) { return s.t_s > 1.02; });
  std::erase_if(rest, [](const Sighting& s) { return s.t_s < 1.03; });
  // Carried on as seen by another lens, say: near, but not on the flight.
  for (Sighting& s : rest) s.centre_px.y() += 3;
  std::vector<FoundFeed> found = {found_from(first), found_from(rest)};
  REQUIRE(found[0].whole());
  REQUIRE_FALSE(found[1].whole());
  CHECK(reunite_pieces(found, camera(), FlightOptions{}) <= 1);
  CHECK(found.size() == 1);
}
