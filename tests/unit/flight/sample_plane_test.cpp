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
  std::vector<double> t_contact_s;
};

constexpr Prior kUpright{0, 0};
constexpr Prior kAnyLean{0, 0.35};

// Where the ball's centre is when it touches a plane that meets the table's at
// x = plane_m and leans back by lean_rad, by trial.
double touching_x_m(const FlightVector& feed, double plane_m, double lean_rad) {
  const FlightOptions options;
  double x_m = plane_m - kRadius_m;
  for (int i = 0; i < 50; ++i) {
    const double t_s = time_at_x_s(feed, options, Arc::kOut, x_m);
    const double z_m = flight_state(feed, options, Arc::kOut, t_s).x_m.z();
    x_m = plane_m + z_m * std::tan(lean_rad) - kRadius_m / std::cos(lean_rad);
  }
  return x_m;
}

// Feeds that meet a sample whose plane meets the table's at x = plane_m; how
// high they rise differs by `uneven_mps`.
MetSample session_at(double plane_m,
                     int feeds,
                     double lean_rad = 0,
                     double uneven_mps = 0) {
  const FlightOptions options;
  MetSample session;
  CameraModel camera;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(1, "sample plane", i);
    std::normal_distribution<double> normal(0, 1);
    const Eigen::Vector3d back_mps(-3.3 + 0.2 * normal(random),
                                   0.1 * normal(random),
                                   2.3 + 0.2 * normal(random));
    FlightVector feed = usual_flight();
    feed[kDrag] = 0.5;
    if (uneven_mps > 0) feed[kVelocityOut + 2] += uneven_mps * normal(random);
    const Rally one = rally(
        back_mps, 0.1, -0.02, 0.5, touching_x_m(feed, plane_m, lean_rad), feed);
    session.t_contact_s.push_back(one.t_contact_s);
    Filmed filmed = film(one, 0.2, random);
    camera = filmed.camera;
    session.found.push_back(std::move(filmed.found));
  }
  session.returns = fit_returns(
      session.found, camera, options_of_returns(options, options), 1);
  return session;
}

}  // namespace

TEST_CASE("returns tell where the sample stands, inside and behind the end") {
  const FlightOptions options;
  for (const double plane_m : {1.34, 1.37, 1.42, 1.57}) {
    CAPTURE(plane_m);
    const MetSample session = session_at(plane_m, 8);
    const SampleSeen seen =
        sample_from_returns(session.found, session.returns, options, kUpright);
    CHECK(seen.returns == 8);
    CHECK(std::abs(seen.x_m - plane_m) < 0.004);
    CHECK(std::abs(seen.x_m - plane_m) < 4 * seen.sd_m);
    CHECK(seen.sd_m < 0.004);
  }
}

TEST_CASE("a lean believed wrongly hardly moves contacts of one height") {
  const FlightOptions options;
  const MetSample session = session_at(1.42, 8);
  FeedEnds right, wrong;
  right = with_sample_seen(
      right,
      sample_from_returns(session.found, session.returns, options, kUpright));
  wrong = with_sample_seen(
      wrong,
      sample_from_returns(
          session.found, session.returns, options, Prior{rad_from_deg(20), 0}));
  CHECK(wrong.sample_lean_rad == doctest::Approx(rad_from_deg(20)));
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
  CHECK(compared == 8);
}

TEST_CASE("contacts at several heights tell how the sample leans") {
  const FlightOptions options;
  const auto off_sigmas = [&](const MetSample& session, const Prior& lean) {
    const FeedEnds ends = with_sample_seen(
        {}, sample_from_returns(session.found, session.returns, options, lean));
    double squares = 0;
    for (std::size_t i = 0; i < session.found.size(); ++i) {
      const Feed feed = derive_feed(session.found[i].fit, options, ends);
      const Measured t_s = feed[Characteristic::kContactTime];
      squares += std::pow((t_s.value - session.t_contact_s[i]) / t_s.sigma, 2);
    }
    return std::sqrt(squares / static_cast<double>(session.found.size()));
  };
  for (const double lean_deg : {0.0, 12.0, 27.0}) {
    CAPTURE(lean_deg);
    const MetSample session =
        session_at(1.42, 14, rad_from_deg(lean_deg), 0.25);
    CHECK(off_sigmas(session, kAnyLean) < 1.5);
    if (lean_deg > 20) CHECK(off_sigmas(session, kUpright) > 3);
    const SampleSeen seen =
        sample_from_returns(session.found, session.returns, options, kAnyLean);
    CHECK(std::abs(seen.lean_rad - rad_from_deg(lean_deg)) < rad_from_deg(10));
  }
}

TEST_CASE("few contacts leave the lean open, and their own height certain") {
  const FlightOptions options;
  const MetSample session = session_at(1.42, 2, rad_from_deg(20), 0.05);
  const SampleSeen seen =
      sample_from_returns(session.found, session.returns, options, kAnyLean);
  CHECK(seen.lean_sd_rad > 0.2);
  FeedEnds ends = with_sample_seen({}, seen);
  const auto sigma_of = [&] {
    return derive_feed(session.found[0].fit,
                       options,
                       ends)[Characteristic::kContactTime]
        .sigma;
  };
  const double at_its_height_s = sigma_of();
  ends.sample_z_m -= 0.1;  // of a feed that meets it 100 mm higher
  CHECK(sigma_of() > at_its_height_s + 2e-3);
}

TEST_CASE("without returns nothing is known, and what was told stands") {
  const FlightOptions options;
  const std::vector<FoundFeed> none(3);
  const SampleSeen seen =
      sample_from_returns(none, std::vector<ReturnFit>(3), options, kUpright);
  CHECK_FALSE(seen.known());
  CHECK(std::isnan(with_sample_seen({}, seen).sample_x_m));
  FeedEnds told;
  told.sample_x_m = 1.40;
  CHECK(with_sample_seen(told, seen).sample_x_m == 1.40);
  CHECK_FALSE(sample_is_elsewhere(told, seen));
}

TEST_CASE("a prior is weighed with the returns, a truth is not") {
  const SampleSeen seen{1.42, 0, 0.002, 0, 0, 20};
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
  // What is told is at the table's height, wherever the contacts are.
  const SampleSeen leaning{1.42 + 0.2 * std::tan(0.3), 0.2, 0.002, 0.3, 0, 20};
  CHECK(leaning.foot_m() == doctest::Approx(1.42));
  told.sample_sd_m = 0.002;
  CHECK(with_sample_seen(told, leaning).sample_x_m == doctest::Approx(1.41));
  CHECK_FALSE(sample_is_elsewhere({.sample_x_m = 1.42}, leaning));
}
