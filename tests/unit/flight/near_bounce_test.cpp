// SPDX-License-Identifier: MIT
#include "flight/near_bounce.h"

#include <cmath>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kNearNoise_px = 0.15;

// Fitted feeds whose sightings within 50 ms of the bounce are noisier.
std::vector<FoundFeed> feeds(int count, double near_factor) {
  const CameraModel camera = camera_at(30);
  const FlightOptions options;
  std::vector<FoundFeed> found;
  for (int i = 0; i < count; ++i) {
    RandomEngine random = derived_engine(7, "near the bounce", i);
    const FlightVector truth = usual_flight();
    std::normal_distribution<double> noise(0, kNearNoise_px);
    FoundFeed feed;
    feed.sightings = sightings_of(truth, camera, 120, 0, random);
    for (Sighting& s : feed.sightings) {
      const bool near = std::abs(s.t_s - truth[kTimeOfBounce]) < 0.05;
      const double times = near ? near_factor : 1;
      s.centre_px += times * Eigen::Vector2d(noise(random), noise(random));
      s.sigma_px = kNearNoise_px;
    }
    feed.fit = refine_flight(feed.sightings, camera, options, truth);
    found.push_back(std::move(feed));
  }
  return found;
}

}  // namespace

TEST_CASE("sightings that scatter more near the bounce are trusted less") {
  auto found = feeds(20, 3);
  const auto before = found;
  const double ratio =
      trust_less_near_bounce(found, camera_at(30), FlightOptions{});
  CHECK(ratio > 1.6);
  CHECK(ratio < 3.2);
  int wider = 0;
  for (std::size_t f = 0; f < found.size(); ++f) {
    for (std::size_t i = 0; i < found[f].sightings.size(); ++i) {
      const Sighting& s = found[f].sightings[i];
      const double t_b = found[f].fit.parameters[kTimeOfBounce];
      const bool near = std::abs(s.t_s - t_b) < 0.06;
      const double times = s.sigma_px / before[f].sightings[i].sigma_px;
      CHECK(times == doctest::Approx(near ? ratio : 1));
      wider += near;
    }
  }
  CHECK(wider > 100);
}

TEST_CASE("even scatter, or too few to tell, changes nothing") {
  auto even = feeds(20, 1);
  CHECK(trust_less_near_bounce(even, camera_at(30), FlightOptions{}) < 1.15);
  auto few = feeds(3, 3);
  CHECK(trust_less_near_bounce(few, camera_at(30), FlightOptions{}) == 1);
  for (const Sighting& s : few[0].sightings) CHECK(s.sigma_px == kNearNoise_px);
  std::vector<FoundFeed> none;
  CHECK(trust_less_near_bounce(none, camera_at(30), FlightOptions{}) == 1);
}
