// SPDX-License-Identifier: MIT
#include "flight/swaying_camera.h"

#include <cmath>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kFeeds = 40;
constexpr double kSwayNoise_px = 0.15;
constexpr CameraSway kSway{2, 5};

// One flight, forty times: seen with noise and, each time by another shift and
// drift, through a camera that sways.
std::vector<FoundFeed> feeds_through(const CameraSway& sway, double jitter_px) {
  const CameraModel camera = camera_at(30);
  const FlightOptions options;
  const FlightVector truth = usual_flight();
  std::vector<FoundFeed> found;
  for (int i = 0; i < kFeeds; ++i) {
    RandomEngine random = derived_engine(11, "swaying camera", i);
    std::normal_distribution<double> normal(0, 1);
    FoundFeed feed;
    feed.sightings = sightings_of(truth, camera, 120, kSwayNoise_px, random);
    const Eigen::Vector2d shift(normal(random), normal(random));
    const Eigen::Vector2d drift(normal(random), normal(random));
    const double middle_s =
        (feed.sightings.front().t_s + feed.sightings.back().t_s) / 2;
    for (Sighting& s : feed.sightings) {
      s.centre_px +=
          sway.shift_px * shift + sway.drift_px_s * (s.t_s - middle_s) * drift +
          jitter_px * Eigen::Vector2d(normal(random), normal(random));
      s.sigma_px = std::hypot(kSwayNoise_px, jitter_px);
    }
    feed.fit = refine_flight(feed.sightings, camera, options, truth);
    REQUIRE(feed.fit.ok());
    found.push_back(std::move(feed));
  }
  return found;
}

// Rms of error over stated sigma.
double normalised(const std::vector<FoundFeed>& found, int parameter) {
  double sum = 0;
  for (const FoundFeed& feed : found) {
    const double error =
        feed.fit.parameters[parameter] - usual_flight()[parameter];
    sum += error * error / feed.fit.covariance(parameter, parameter);
  }
  return std::sqrt(sum / static_cast<double>(found.size()));
}

}  // namespace

TEST_CASE("what a camera sways is in the uncertainty of each feed") {
  auto found = feeds_through(kSway, 0);
  for (const int parameter : {kBounceX, kBounceY}) {
    CAPTURE(parameter);
    CHECK(normalised(found, parameter) > 3);
  }
  allow_for_sway(found, camera_at(30), FlightOptions{}, kSway);
  // The vertical velocity rests on priors that one flight does not use up.
  for (const int parameter : {+kBounceX, +kBounceY, +kVelocityIn}) {
    CAPTURE(parameter);
    CHECK(normalised(found, parameter) > 0.7);
    CHECK(normalised(found, parameter) < 1.35);
  }
}

TEST_CASE("a jitter that the residuals show is not counted twice") {
  auto found = feeds_through({}, 2);
  const auto before = found;
  allow_for_sway(found, camera_at(30), FlightOptions{}, {2, 5});
  for (std::size_t i = 0; i < found.size(); ++i) {
    const double wider =
        std::sqrt(found[i].fit.covariance(kBounceX, kBounceX) /
                  before[i].fit.covariance(kBounceX, kBounceX));
    CHECK(wider >= 1);
    CHECK(wider < 1.6);
  }
}

TEST_CASE("a steady camera changes nothing") {
  auto found = feeds_through({}, 0);
  const auto before = found;
  allow_for_sway(found, camera_at(30), FlightOptions{}, {});
  for (std::size_t i = 0; i < found.size(); ++i) {
    CHECK(found[i].fit.covariance == before[i].fit.covariance);
  }
}
