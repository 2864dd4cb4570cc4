// SPDX-License-Identifier: MIT
#include "flight/shutter_times.h"

#include "flight/session_fit.h"
#include "flight/trajectory_fit.h"

#include <cmath>

#include "flight_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kDiameter_px = 16;

// Feeds whose streaks are measured to `noise_px` along and across alike.
std::vector<FoundFeed> streaked(double exposure_s,
                                double noise_px,
                                int feeds,
                                double apart_s = 0) {
  const CameraModel camera = camera_at(30);
  std::vector<FoundFeed> all;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(17, "streaks", i);
    std::normal_distribution<double> normal(0, noise_px);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] += apart_s * i;
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, 60, 0.2, random);
    for (Sighting& s : feed.sightings) {
      const auto at = [&](double t_s) {
        return *camera.project(flight_state(p, FlightOptions{}, t_s).x_m);
      };
      s.diameter_px = kDiameter_px;
      s.streak_px = at(s.t_s + exposure_s / 2) - at(s.t_s - exposure_s / 2) +
                    Eigen::Vector2d(normal(random), normal(random));
      if (i % 2 == 0) s.streak_px *= -1;
    }
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    REQUIRE(feed.fit.ok());
    all.push_back(feed);
  }
  return all;
}

std::optional<Prior> seen(double exposure_s, double noise_px, int feeds = 8) {
  return exposure_from_streaks(
      streaked(exposure_s, noise_px, feeds), camera_at(30), FlightOptions{});
}

}  // namespace

TEST_CASE("shutter: the exposure comes back, noise in the streaks or none") {
  for (const double exposure_s : {0.002, 0.004, 0.010}) {
    for (const double noise_px : {0.1, 1.0, 2.0}) {
      CAPTURE(exposure_s);
      CAPTURE(noise_px);
      const auto found = seen(exposure_s, noise_px);
      REQUIRE(found);
      CHECK(std::abs(found->mean - exposure_s) < 2 * found->sd);
      CHECK(found->sd < 0.0008);
    }
  }
  // Without noise as good as exact.
  CHECK(seen(0.004, 0.01)->mean == doctest::Approx(0.004).epsilon(0.01));
}

TEST_CASE("shutter: a streak that hides leaves its doubt") {
  for (const double exposure_s : {0.0001, 0.0004, 0.0007}) {
    CAPTURE(exposure_s);
    const auto found = seen(exposure_s, 1.5);
    REQUIRE(found);
    CHECK(std::abs(found->mean - exposure_s) < 2 * found->sd);
    CHECK(found->sd > 0.0002);
    CHECK(found->mean < 0.0012);
  }
}

TEST_CASE("shutter: what noise draws out is no exposure") {
  // 4 pixels of it would be 1.5 ms.
  CHECK(seen(0.0004, 4.0, 20)->mean < 0.001);
}

TEST_CASE("shutter: a row's time moves with exposure and readout") {
  std::vector<FoundFeed> found = streaked(0.004, 0.1, 1);
  CameraModel camera = camera_at(30);
  camera.exposure_s = 0.001;
  camera.readout_s = 0.010;
  const std::vector<Sighting> before = found[0].sightings;
  std::vector<Track> strays(1);
  strays[0].sightings = before;
  restamp(found, strays, camera, 0.005, 0.030);
  for (std::size_t i = 0; i < before.size(); ++i) {
    const double down = before[i].centre_px.y() / camera.height_px;
    CHECK(found[0].sightings[i].t_s - before[i].t_s ==
          doctest::Approx(0.002 + 0.020 * down).epsilon(1e-6));
    CHECK(strays[0].sightings[i].t_s == found[0].sightings[i].t_s);
  }
  CHECK(found[0].fit.parameters[kTimeOfBounce] ==
        doctest::Approx(usual_flight()[kTimeOfBounce] + 0.002).epsilon(1e-3));
  CHECK(camera.exposure_s == 0.005);
  CHECK(camera.readout_s == 0.030);
}

TEST_CASE("shutter: without streaks nothing is known") {
  std::vector<FoundFeed> found = streaked(0.004, 0.1, 4);
  for (FoundFeed& feed : found) {
    for (Sighting& s : feed.sightings) s.streak_px.setZero();
  }
  CHECK_FALSE(exposure_from_streaks(found, camera_at(30), FlightOptions{}));
  CHECK_FALSE(exposure_from_streaks({}, camera_at(30), FlightOptions{}));
}

TEST_CASE("shutter: what is not known of it is the bounce's time's as well") {
  Bench bench;
  bench.camera = camera_at(30);
  bench.camera.readout_s = 0;
  bench.covariance = Eigen::Matrix<double, 9, 9>::Zero();
  const std::vector<FoundFeed> found = streaked(0.0004, 1.5, 12, 2);
  SessionFitOptions session;
  session.joint.common_error_share = 0;  // nothing that would hide it
  const SessionFit unknown = fit_session(found, bench, {}, {}, session);
  bench.camera.exposure_s = 0.0004;
  const SessionFit known = fit_session(found, bench, {}, {}, session);
  REQUIRE(known.common.st_bounce_s > 0);
  const Prior exposure =
      *exposure_from_streaks(found, camera_at(30), FlightOptions{});
  const double both_s = std::hypot(known.common.st_bounce_s, exposure.sd / 2);
  CHECK(std::abs(unknown.common.st_bounce_s / both_s - 1) < 0.05);
  CHECK(unknown.common.st_bounce_s > 1.2 * known.common.st_bounce_s);
}
