// SPDX-License-Identifier: MIT
#include "flight/spliced_flight.h"

#include "unit/flight/flight_bench.h"

#include <algorithm>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kFps = 60;
constexpr double kNoise_px = 0.2;
constexpr std::size_t kFeeds = 8;

// What a fair launcher scatters.
FlightVector thrown(RandomEngine& random) {
  std::normal_distribution<double> normal(0, 1);
  FlightVector p = usual_flight();
  p[kBounceX] += 0.03 * normal(random);
  p[kBounceY] += 0.015 * normal(random);
  p[kVelocityIn] += 0.04 * normal(random);
  p[kVelocityIn + 1] += 0.03 * normal(random);
  p[kVelocityIn + 2] += 0.03 * normal(random);
  p[kVelocityOut] += 0.04 * normal(random);
  p[kVelocityOut + 2] += 0.03 * normal(random);
  return p;
}

FoundFeed fitted(std::vector<Sighting> seen, const CameraModel& camera) {
  FoundFeed feed;
  feed.fit = fit_flight(seen, camera, {});
  feed.sightings = std::move(seen);
  return feed;
}

std::vector<FoundFeed> session_of(const CameraModel& camera,
                                  RandomEngine& random) {
  std::vector<FoundFeed> found;
  for (std::size_t i = 0; i < kFeeds; ++i) {
    found.push_back(fitted(
        sightings_of(thrown(random), camera, kFps, kNoise_px, random), camera));
    REQUIRE(found.back().whole());
  }
  return found;
}

// Up to `join_s` one ball, then another that is `ahead_s` further on its way.
FoundFeed chimera(const CameraModel& camera,
                  double join_s,
                  double ahead_s,
                  RandomEngine& random) {
  const FlightVector first = thrown(random);
  FlightVector second = thrown(random);
  second[kTimeOfBounce] -= ahead_s;
  std::vector<Sighting> seen =
      sightings_of(first, camera, kFps, kNoise_px, random);
  std::normal_distribution<double> noise(0, kNoise_px);
  for (Sighting& s : seen) {
    if (s.t_s < join_s) continue;
    s.centre_px = *camera.project(flight_state(second, {}, s.t_s).x_m);
    s.centre_px += Eigen::Vector2d(noise(random), noise(random));
  }
  return fitted(std::move(seen), camera);
}

int refused_of(const std::vector<FoundFeed>& found) {
  return static_cast<int>(
      std::count_if(found.begin(), found.end(), [](const FoundFeed& feed) {
        return !feed.fit.ok();
      }));
}

}  // namespace

TEST_CASE("a flight that goes on as another ball's is refused, with the time") {
  RandomEngine random(11);
  const CameraModel camera = camera_at(35);
  int refused = 0, films = 0;
  for (const double join_s : {0.75, 0.85, 0.95, 1.03, 1.08}) {
    for (const double ahead_s : {-0.012, 0.006, 0.014}) {
      std::vector<FoundFeed> found = session_of(camera, random);
      found.push_back(chimera(camera, join_s, ahead_s, random));
      ++films;
      if (!found.back().fit.ok()) {  // the fit alone may know
        ++refused;
        continue;
      }
      refuse_spliced(found, camera, {}, {});
      const FlightFit& fit = found.back().fit;
      refused += !fit.ok();
      if (fit.ok()) continue;
      CHECK(fit.status == FitStatus::kPoorFit);
      CHECK(fit.message.find("goes on as another ball's") != std::string::npos);
      CHECK(refused_of(found) == 1);
    }
  }
  CHECK(films == 15);
  CHECK(refused >= 13);
}

TEST_CASE("flights of one ball each stay, outliers and all") {
  RandomEngine random(12);
  int feeds = 0;
  for (const double side_deg : {0., 35.}) {
    const CameraModel camera = camera_at(side_deg);
    for (int i = 0; i < 10; ++i) {
      std::vector<FoundFeed> found = session_of(camera, random);
      std::vector<Sighting> odd =
          sightings_of(thrown(random), camera, kFps, kNoise_px, random);
      odd[8].centre_px += Eigen::Vector2d(2.5, -1.5);
      odd[20].centre_px += Eigen::Vector2d(-2, 2);
      found.push_back(fitted(std::move(odd), camera));
      REQUIRE(found.back().fit.ok());
      refuse_spliced(found, camera, {}, {});
      CHECK(refused_of(found) == 0);
      feeds += static_cast<int>(found.size());
    }
  }
  CHECK(feeds == 180);
}

TEST_CASE("a few feeds do not say what is usual") {
  RandomEngine random(13);
  const CameraModel camera = camera_at(35);
  std::vector<FoundFeed> found{chimera(camera, 0.9, 0.012, random)};
  REQUIRE(found[0].fit.ok());
  const auto splice = likeliest_splice(found[0], camera, {});
  REQUIRE(splice);
  CHECK(splice->gain > 100);
  CHECK(std::abs(splice->t_s - 0.9) < 0.05);
  refuse_spliced(found, camera, {}, {});
  CHECK(found[0].fit.ok());
}

TEST_CASE("what flew while the film was cut is refused, nothing else") {
  RandomEngine random(14);
  const CameraModel camera = camera_at(35);
  std::vector<FoundFeed> found = session_of(camera, random);
  found.resize(2);
  for (Sighting& s : found[1].sightings) s.t_s += 5;
  found[1].fit.parameters[kTimeOfBounce] += 5;
  refuse_joined(found, {0.2, 3.0, 9.0});
  CHECK(refused_of(found) == 0);
  refuse_joined(found, {3.0, 5.9});
  CHECK(found[0].fit.ok());
  REQUIRE_FALSE(found[1].fit.ok());
  CHECK(found[1].fit.message == "the film was cut at 5.90 s, while it flew");
}
