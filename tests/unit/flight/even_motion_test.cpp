// SPDX-License-Identifier: MIT
#include "flight/even_motion.h"

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a ball moves evenly through its bounce, noise does not") {
  for (const double fps : {25., 60., 240.}) {
    CAPTURE(fps);
    RandomEngine random = derived_engine(1, "even motion");
    const auto ball =
        sightings_of(usual_flight(), camera_at(30), fps, 0.2, random);
    CHECK(moves_evenly(ball));
    std::vector<Sighting> noise = ball;
    std::normal_distribution<double> leap(0, 1);
    const double step_px = (ball[1].centre_px - ball[0].centre_px).norm();
    for (Sighting& s : noise) {
      s.centre_px += step_px * Eigen::Vector2d(leap(random), leap(random));
    }
    CHECK_FALSE(moves_evenly(noise));
  }
  CHECK_FALSE(moves_evenly({}));
  CHECK_FALSE(moves_evenly(std::vector<Sighting>(3)));  // no time passes
}

// Between few pictures a ball turns far, but always by as much.
TEST_CASE("a ball that turns at the top of its way moves evenly") {
  std::vector<Sighting> top;
  const std::vector<Eigen::Vector2d> places = {
      {0, 0}, {10, -34}, {20, -59}, {30, -75}, {40, -82}, {50, -80}};
  for (std::size_t i = 0; i < places.size(); ++i) {
    Sighting s;
    s.t_s = 0.04 * static_cast<double>(i);
    s.centre_px = places[i];
    top.push_back(s);
  }
  CHECK(moves_evenly(top));
}
