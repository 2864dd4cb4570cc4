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

// Sigmas are cautious, as a finder's: what lies a little off stays in the fit.
FoundFeed fitted(std::vector<Sighting> seen, const CameraModel& camera) {
  FoundFeed feed;
  for (Sighting& s : seen) s.sigma_px = 3 * kNoise_px;
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

// Up to `join_s` one ball, then another that lands 6 mm further: so near that
// one flight takes all of both.
FoundFeed chimera(const CameraModel& camera,
                  double join_s,
                  RandomEngine& random) {
  FlightVector second = usual_flight();
  second[kTimeOfBounce] -= 0.001;
  second[kBounceX] += 0.006;
  second[kBounceY] -= 0.004;
  second[kVelocityIn + 1] += 0.02;
  second[kVelocityIn + 2] += 0.02;
  std::vector<Sighting> seen =
      sightings_of(usual_flight(), camera, kFps, kNoise_px, random);
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
  const std::vector<FoundFeed> whole = session_of(camera, random);
  int films = 0;
  for (const double join_s : {0.78, 0.82, 0.86}) {
    CAPTURE(join_s);
    std::vector<FoundFeed> found = whole;
    found.push_back(chimera(camera, join_s, random));
    REQUIRE(found.back().fit.ok());
    REQUIRE(found.back().fit.rms_px < 0.9);  // by which none would be refused
    ++films;
    refuse_spliced(found, camera, {}, {});
    const FlightFit& fit = found.back().fit;
    CHECK(fit.status == FitStatus::kPoorFit);
    CHECK(fit.message.find("goes on as another ball's") != std::string::npos);
    CHECK(refused_of(found) == 1);
  }
  CHECK(films == 3);
}

// The fit leaves single ones out that lie far off, not those that lie near.
TEST_CASE("flights of one ball each stay, outliers and all") {
  RandomEngine random(12);
  int feeds = 0;
  for (const double side_deg : {0., 35.}) {
    const CameraModel camera = camera_at(side_deg);
    std::vector<FoundFeed> found = session_of(camera, random);
    for (int i = 0; i < 3; ++i) {
      std::vector<Sighting> odd =
          sightings_of(thrown(random), camera, kFps, kNoise_px, random);
      odd[8].centre_px += Eigen::Vector2d(1.6, -1.2);
      odd[15].centre_px += Eigen::Vector2d(-1.6, -1.2);
      odd[20].centre_px += Eigen::Vector2d(-1.2, 1.6);
      found.push_back(fitted(std::move(odd), camera));
      REQUIRE(found.back().fit.ok());
    }
    refuse_spliced(found, camera, {}, {});
    CHECK(refused_of(found) == 0);
    feeds += static_cast<int>(found.size());
  }
  CHECK(feeds == 22);
}

TEST_CASE("a few feeds do not say what is usual") {
  RandomEngine random(13);
  const CameraModel camera = camera_at(35);
  std::vector<FoundFeed> found{chimera(camera, 0.85, random)};
  REQUIRE(found[0].fit.ok());
  const auto splice = likeliest_splice(found[0], camera, {});
  REQUIRE(splice);
  CHECK(splice->gain > 10);
  CHECK(std::abs(splice->t_s - 0.85) < 0.05);
  const std::vector<FoundFeed> others = session_of(camera, random);
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(found.size() == i + 1);
    refuse_spliced(found, camera, {}, {});
    CHECK(refused_of(found) == 0);
    found.push_back(others[i]);
  }
  refuse_spliced(found, camera, {}, {});
  CHECK(refused_of(found) == 1);
}

TEST_CASE("what flew while the film was cut is refused, nothing else") {
  RandomEngine random(14);
  const CameraModel camera = camera_at(35);
  std::vector<FoundFeed> found = session_of(camera, random);
  found.erase(found.begin() + 2, found.end());
  for (Sighting& s : found[1].sightings) s.t_s += 5;
  found[1].fit.parameters[kTimeOfBounce] += 5;
  refuse_joined(found, {0.2, 3.0, 9.0});
  CHECK(refused_of(found) == 0);
  refuse_joined(found, {3.0, 5.9});
  CHECK(found[0].fit.ok());
  REQUIRE_FALSE(found[1].fit.ok());
  CHECK(found[1].fit.message == "the film was cut at 5.90 s, while it flew");
}
