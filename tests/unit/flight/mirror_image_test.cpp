// SPDX-License-Identifier: MIT
#include "flight/mirror_image.h"

#include <algorithm>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

struct Shown {
  Track ball, image;
};

// A feed over a glossy table, seen at `fps`, and where its image is seen.
Shown shown(const CameraModel& camera, double fps, int seed) {
  const FlightVector p = usual_flight();
  RandomEngine random = derived_engine(1, "mirror image", seed);
  std::normal_distribution<double> noise(0, 0.2);
  Shown both;
  both.ball.sightings = sightings_of(p, camera, fps, 0.2, random);
  both.image.sightings = images_of(p, camera, both.ball.sightings);
  for (Sighting& s : both.image.sightings) {
    s.centre_px += Eigen::Vector2d(noise(random), noise(random));
  }
  return both;
}

std::ptrdiff_t before_bounce(const Track& track) {
  return std::count_if(track.sightings.begin(),
                       track.sightings.end(),
                       [](const Sighting& s) { return s.t_s < 1; });
}

// As tracks are led where both meet: each goes on as the other.
Shown crossed(Shown both) {
  const auto at = before_bounce(both.ball);
  std::swap_ranges(both.ball.sightings.begin() + at,
                   both.ball.sightings.end(),
                   both.image.sightings.begin() + at);
  return both;
}

bool same(const Track& a, const Track& b) {
  if (a.sightings.size() != b.sightings.size()) return false;
  for (std::size_t i = 0; i < a.sightings.size(); ++i) {
    if (a.sightings[i].centre_px != b.sightings[i].centre_px) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("a ball is told from its image in the surface, crossed or not") {
  for (const double fps : {30., 60., 120.}) {
    for (const double side_deg : {25., 45., 60.}) {
      CAPTURE(fps);
      CAPTURE(side_deg);
      const CameraModel camera = camera_at(side_deg);
      const Shown truth = shown(camera, fps, 1);
      for (const Shown& tracks : {truth, crossed(truth)}) {
        const auto ball =
            without_mirror_image(tracks.ball, tracks.image, camera);
        REQUIRE(ball);
        CHECK(same(*ball, truth.ball));
        const auto again =
            without_mirror_image(tracks.image, tracks.ball, camera);
        REQUIRE(again);
        CHECK(same(*again, truth.ball));
      }
    }
  }
}

TEST_CASE("an image that is seen for a part of the way is left out") {
  const CameraModel camera = camera_at(45);
  const Shown truth = shown(camera, 60, 2);
  Track part = truth.image;
  part.sightings.erase(part.sightings.begin(), part.sightings.begin() + 8);
  part.sightings.resize(12);
  const auto ball = without_mirror_image(truth.ball, part, camera);
  REQUIRE(ball);
  CHECK(same(*ball, truth.ball));
  part.sightings.resize(5);
  CHECK_FALSE(without_mirror_image(truth.ball, part, camera));
}

TEST_CASE("two balls are two balls") {
  const CameraModel camera = camera_at(45);
  const Track ball = shown(camera, 60, 3).ball;
  // A second one just behind, one that lies, and one that rolls.
  Track behind = ball, lies = ball, rolls = ball;
  for (std::size_t i = 0; i < ball.sightings.size(); ++i) {
    const double t_s = ball.sightings[i].t_s;
    behind.sightings[i].centre_px = ball.sightings[i > 2 ? i - 3 : 0].centre_px;
    lies.sightings[i].centre_px = *camera.project({0.3, 0.1, 0.02});
    rolls.sightings[i].centre_px =
        *camera.project({0.7 + 4 * (t_s - 1), 0.05, 0.02});
  }
  CHECK_FALSE(without_mirror_image(ball, behind, camera));
  CHECK_FALSE(without_mirror_image(ball, lies, camera));
  Track later = shown(camera, 60, 3).image;
  for (Sighting& s : later.sightings) s.t_s += 5;
  CHECK_FALSE(without_mirror_image(ball, later, camera));
  CHECK_FALSE(without_mirror_image(rolls, lies, camera));
  // What does not fall is no ball in flight.
  Track glides = ball, below = ball;
  for (std::size_t i = 0; i < ball.sightings.size(); ++i) {
    const double x_m = 0.7 + 4 * (ball.sightings[i].t_s - 1);
    glides.sightings[i].centre_px = *camera.project({x_m, 0.05, 0.3});
    below.sightings[i].centre_px = *camera.project({x_m, 0.05, -0.3});
  }
  CHECK_FALSE(without_mirror_image(glides, below, camera));
  // What parts from where the image would be is something else.
  Track parts = shown(camera, 60, 3).image;
  for (std::size_t i = 12; i < parts.sightings.size(); ++i) {
    parts.sightings[i].centre_px.x() += 40.0 * static_cast<double>(i - 11);
  }
  CHECK_FALSE(without_mirror_image(ball, parts, camera));
}
