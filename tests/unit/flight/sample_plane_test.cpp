// SPDX-License-Identifier: MIT
#include "flight/sample_plane.h"

#include "base/units.h"

#include <cmath>

#include "filmed_rally.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kRadius_m = FlightOptions{}.ball.radius_m;

struct MetSample {
  std::vector<FoundFeed> found;
  std::vector<ReturnFit> returns;
};

// Feeds that meet an upright sample whose plane is at x = plane_m.
MetSample session_at(double plane_m, int feeds) {
  const FlightOptions options;
  MetSample session;
  CameraModel camera;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(1, "sample plane", i);
    std::normal_distribution<double> normal(0, 1);
    const Rally one = rally({-3.3 + 0.2 * normal(random),
                             0.1 * normal(random),
                             2.3 + 0.2 * normal(random)},
                            0.1,
                            -0.02,
                            0.5,
                            plane_m - kRadius_m);
    Filmed filmed = film(one, 0.2, random);
    camera = filmed.camera;
    session.found.push_back(std::move(filmed.found));
  }
  session.returns = fit_returns(session.found, camera, options, options, 1);
  return session;
}

}  // namespace

TEST_CASE("returns tell where the sample stands, inside and behind the end") {
  const FlightOptions options;
  for (const double plane_m : {1.34, 1.37, 1.42, 1.57}) {
    CAPTURE(plane_m);
    const MetSample session = session_at(plane_m, 12);
    const SampleSeen seen =
        sample_from_returns(session.found, session.returns, options, 0);
    CHECK(seen.returns == 12);
    CHECK(std::abs(seen.x_m - plane_m) < 0.004);
    CHECK(std::abs(seen.x_m - plane_m) < 4 * seen.sd_m);
    CHECK(seen.sd_m < 0.004);
  }
}

TEST_CASE("a lean believed wrongly hardly moves the contacts") {
  const FlightOptions options;
  const MetSample session = session_at(1.42, 12);
  FeedEnds right, wrong;
  wrong.sample_lean_rad = rad_from_deg(20);
  right = with_sample_seen(
      right, sample_from_returns(session.found, session.returns, options, 0));
  wrong = with_sample_seen(
      wrong,
      sample_from_returns(
          session.found, session.returns, options, wrong.sample_lean_rad));
  CHECK(right.sample_x_m - wrong.sample_x_m > 0.05);
  int compared = 0;
  for (const FoundFeed& feed : session.found) {
    const double a =
        derive_feed(feed.fit, options, right)[Characteristic::kContactTime]
            .value;
    const double b =
        derive_feed(feed.fit, options, wrong)[Characteristic::kContactTime]
            .value;
    CHECK(std::abs(a - b) < 2e-3);
    ++compared;
  }
  CHECK(compared == 12);
}

TEST_CASE("without returns nothing is known, and what was told stands") {
  const FlightOptions options;
  const std::vector<FoundFeed> none(3);
  const SampleSeen seen =
      sample_from_returns(none, std::vector<ReturnFit>(3), options, 0);
  CHECK_FALSE(seen.known());
  CHECK(std::isnan(with_sample_seen({}, seen).sample_x_m));
  FeedEnds told;
  told.sample_x_m = 1.40;
  CHECK(with_sample_seen(told, seen).sample_x_m == 1.40);
  CHECK_FALSE(sample_is_elsewhere(told, seen));
}

TEST_CASE("a belief is weighed with the returns, a truth is not") {
  const SampleSeen seen{1.42, 0.002, 20};
  FeedEnds told;
  told.sample_x_m = 1.40;
  CHECK(with_sample_seen(told, seen).sample_x_m == 1.40);
  CHECK(with_sample_seen(told, seen).sample_sd_m == 0);
  CHECK(sample_is_elsewhere(told, seen));
  told.sample_sd_m = 0.002;  // as sure as the returns: half way
  CHECK(with_sample_seen(told, seen).sample_x_m == doctest::Approx(1.41));
  CHECK(with_sample_seen(told, seen).sample_sd_m ==
        doctest::Approx(0.002 / std::sqrt(2.)));
  told.sample_sd_m = 0.010;
  CHECK_FALSE(sample_is_elsewhere(told, seen));
}
