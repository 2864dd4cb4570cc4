// SPDX-License-Identifier: MIT
#include "flight/bounce_scan.h"

#include "flight/ballistics.h"

#include <algorithm>
#include <cmath>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// 4K, so that a centimetre is ten pixels.
CameraModel sharp_camera(double side_deg) {
  CameraModel camera = camera_at(side_deg);
  camera.width_px *= 2;
  camera.height_px *= 2;
  camera.lens = {2000, 1919.5, 1079.5, -0.05, 0};
  return camera;
}

FlightVector fast_flight(double lift) {
  FlightVector p = usual_flight();
  p.segment<3>(kVelocityIn) = Eigen::Vector3d(9.5, 0.2, -3.0);
  p.segment<3>(kVelocityOut) = Eigen::Vector3d(7.8, 0.15, 2.7);
  p[kLiftIn] = p[kLiftOut] = lift;
  return p;
}

// How far the best start's bounce is from the truth, s and m.
std::pair<double, double> miss(const std::vector<FlightVector>& starts,
                               const FlightVector& truth) {
  REQUIRE(!starts.empty());
  const FlightVector& best = starts.front();
  return {std::abs(best[kTimeOfBounce] - truth[kTimeOfBounce]),
          (best - truth).segment<2>(kBounceX).norm()};
}

}  // namespace

TEST_CASE("the scan comes near the bounce of a fast ball seen sharply") {
  int run = 0;
  for (const double side_deg : {0.0, 20.0, 45.0}) {
    for (const double lift : {-0.2, 0.0, 0.2}) {
      CAPTURE(side_deg);
      CAPTURE(lift);
      RandomEngine random = derived_engine(1, "scan/fast", run++);
      const FlightVector truth = fast_flight(lift);
      const CameraModel camera = sharp_camera(side_deg);
      const auto sightings = sightings_of(truth, camera, 60, 0.2, random);
      const auto [t_s, x_m] =
          miss(scan_for_bounce(sightings, camera, FlightOptions()), truth);
      CHECK(t_s < 0.008);
      CHECK(x_m < 0.08);
    }
  }
}

TEST_CASE("a few sightings of something else do not lead the scan astray") {
  for (int run = 0; run < 10; ++run) {
    CAPTURE(run);
    RandomEngine random = derived_engine(1, "scan/astray", run);
    const FlightVector truth = fast_flight(0);
    const CameraModel camera = sharp_camera(20);
    auto sightings = sightings_of(truth, camera, 60, 0.2, random);
    std::uniform_int_distribution<std::size_t> which(0, sightings.size() - 1);
    std::uniform_real_distribution<double> off_px(-60, 60);
    for (int k = 0; k < 3; ++k) {
      sightings[which(random)].centre_px +=
          Eigen::Vector2d(off_px(random), off_px(random));
    }
    const auto [t_s, x_m] =
        miss(scan_for_bounce(sightings, camera, FlightOptions()), truth);
    CHECK(t_s < 0.010);
    CHECK(x_m < 0.10);
  }
}

TEST_CASE(
    "the scan keeps so many minima and the last gaps, and asks for four") {
  RandomEngine random = derived_engine(1, "scan/few", 0);
  const CameraModel camera = sharp_camera(20);
  auto sightings = sightings_of(fast_flight(0), camera, 60, 0.2, random);
  ScanOptions scan;
  scan.keep = 2;
  CHECK(scan_for_bounce(sightings, camera, FlightOptions(), scan).size() <= 2);
  scan.keep = 0;
  scan.last_gaps = 3;
  const auto last = scan_for_bounce(sightings, camera, FlightOptions(), scan);
  CHECK(last.size() == 3);
  CHECK(std::all_of(last.begin(), last.end(), [&](const FlightVector& p) {
    return p[kTimeOfBounce] > sightings[sightings.size() - 4].t_s;
  }));
  sightings.resize(3);
  CHECK(scan_for_bounce(sightings, camera, FlightOptions()).empty());
}

// Cut off before the bounce every later moment fits; what is usual of bounces
// tells which.
TEST_CASE("a bounce that was not seen is looked for where bounces are usual") {
  int run = 0;
  double worst_s = 0;
  for (const double side_deg : {0.0, 20.0, 45.0}) {
    for (const double lost_s : {0.02, 0.05}) {
      CAPTURE(side_deg);
      CAPTURE(lost_s);
      RandomEngine random = derived_engine(1, "scan/unseen", run++);
      const FlightVector truth = usual_flight();
      const CameraModel camera = sharp_camera(side_deg);
      const auto sightings =
          sightings_of(truth, camera, 60, 0.2, random, -lost_s);
      const auto [t_s, x_m] =
          miss(scan_for_bounce(sightings, camera, FlightOptions()), truth);
      worst_s = std::max(worst_s, t_s);
    }
  }
  CHECK(worst_s < 0.08);
}
