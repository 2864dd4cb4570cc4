// SPDX-License-Identifier: MIT
#include "flight/flown_images.h"

#include "flight/trajectory_fit.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// A feed, what is left of its image, and the same of another ball.
struct Session {
  CameraModel camera = camera_at(45);
  std::vector<FoundFeed> found;
  std::vector<Track> strays;

  explicit Session(double other_y_m) {
    RandomEngine random = derived_engine(1, "flown images");
    FoundFeed feed;
    feed.sightings = sightings_of(usual_flight(), camera, 60, 0.2, random);
    feed.fit = fit_flight(feed.sightings, camera, FlightOptions{});
    FlightVector p = usual_flight();
    p[kBounceY] += other_y_m;
    std::vector<Sighting> piece = images_of(p, camera, feed.sightings);
    piece.resize(7);
    strays.push_back({piece});
    FoundFeed image;
    image.sightings = piece;
    found = {feed, image};
  }

  int drop() {
    return drop_flown_images(found, strays, camera, FlightOptions{});
  }
};

}  // namespace

TEST_CASE("what is left of a feed's image is no feed and no stray") {
  Session session(0);
  REQUIRE(session.found[0].whole());
  CHECK(session.drop() == 1);
  REQUIRE(session.found.size() == 1);
  CHECK(session.found[0].whole());
  CHECK(session.strays.empty());
}

TEST_CASE("another ball's, another time's and what was measured stay") {
  Session beside(0.3);
  CHECK(beside.drop() == 0);
  CHECK(beside.strays.size() == 1);

  Session later(0);
  for (Sighting& s : later.found[1].sightings) s.t_s += 1;
  CHECK(later.drop() == 0);
  CHECK(later.found.size() == 2);

  Session measured(0);
  measured.found[1].fit = measured.found[0].fit;
  CHECK(measured.drop() == 0);

  // Seen before the ball is: a launch far behind is another one's.
  Session alone(0);
  alone.found.erase(alone.found.begin());
  CHECK(alone.drop() == 0);
}
