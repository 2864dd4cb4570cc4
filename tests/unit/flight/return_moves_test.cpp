// SPDX-License-Identifier: MIT
#include "flight/return_moves.h"

#include "flight/session_fit.h"

#include <cmath>

#include "filmed_rally.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kRallies = 8;
constexpr auto kBackSpeed = static_cast<std::size_t>(ReturnValue::kSpeed);
constexpr auto kBackAngle = static_cast<std::size_t>(ReturnValue::kAngle);
const Eigen::Vector3d kBack_mps(-3.3, 0.1, 2.3);

void film_later(double by_s, FoundFeed& feed) {
  feed.for_each_sighting([&](Sighting& s) { s.t_s += by_s; });
  feed.fit.parameters[kTimeOfBounce] += by_s;
}

// Feeds that come back alike, two seconds apart, through air of that drag.
std::vector<FoundFeed> rallies(double drag,
                               double noise_px,
                               double seen_for_s = 1) {
  std::vector<FoundFeed> found;
  for (int i = 0; i < kRallies; ++i) {
    RandomEngine random = derived_engine(1, "return moves", i);
    std::normal_distribution<double> normal(0, 1);
    FlightVector feed = usual_flight();
    feed[kBounceX] += 0.02 * normal(random);
    feed[kVelocityIn] += 0.05 * normal(random);
    const Rally one = rally(kBack_mps, 0.1, -0.02, drag, 1.30, feed);
    found.push_back(film(one, noise_px, random, seen_for_s).found);
    film_later(2 * i, found.back());
  }
  return found;
}

Bench bench_with_focal_sd(double focal_sd_px) {
  Bench bench;
  bench.camera = camera_at(30);
  bench.camera.readout_s = 0;
  bench.covariance(0, 0) = focal_sd_px * focal_sd_px;
  return bench;
}

double mean_returned(const SessionFit& fit, std::size_t id) {
  double sum = 0;
  int count = 0;
  for (const Feed& feed : fit.feeds) {
    if (!std::isfinite(feed.returned[id].value)) continue;
    sum += feed.returned[id].value;
    ++count;
  }
  REQUIRE(count > kRallies / 2);
  return sum / count;
}

const CommonCause& cause_of(const SessionFit& fit, std::string_view name) {
  const auto at = std::find_if(
      fit.common.causes.begin(),
      fit.common.causes.end(),
      [&](const CommonCause& cause) { return cause.name == name; });
  REQUIRE(at != fit.common.causes.end());
  return *at;
}

}  // namespace

// The same films, solved from a prior that is one sd off.
TEST_CASE("returns move with what was believed as they are said to") {
  const std::vector<FoundFeed> found = rallies(0.5, 0.2);
  const FlightOptions options;
  const Bench bench = bench_with_focal_sd(4);
  const SessionFit fit = fit_session(found, bench, options, {});
  FlightOptions otherwise;
  otherwise.drag.mean += otherwise.drag.sd;
  Bench longer = bench;
  longer.camera.lens.focal_px += 4;
  const SessionFit by_drag = fit_session(found, bench, otherwise, {});
  const SessionFit by_focal = fit_session(found, longer, options, {});
  for (const auto& [name, other] :
       {std::pair{"drag", &by_drag}, std::pair{"focal length", &by_focal}}) {
    for (const std::size_t id : {kBackSpeed, kBackAngle}) {
      CAPTURE(name);
      CAPTURE(id);
      const double stated = cause_of(fit, name).moves_returned[id];
      const double sigma = fit.common.sigma_returned[id];
      const double moved = mean_returned(*other, id) - mean_returned(fit, id);
      CHECK(sigma > 0);
      CHECK(std::abs(moved - stated) < 0.3 * std::abs(stated) + 0.05 * sigma);
    }
  }
  const double speed =
      std::abs(cause_of(fit, "focal length").moves_returned[kBackSpeed]);
  CHECK(speed > 0.1 * fit.common.sigma_returned[kBackSpeed]);
}

// Air, camera and sightings that are off as believed.
TEST_CASE("means of returns err by what the session says") {
  double speed2 = 0, angle2 = 0;
  int runs = 0;
  for (const auto& [drag, focal_px] :
       {std::pair{0.43, 4.}, std::pair{0.57, -4.}}) {
    Bench bench = bench_with_focal_sd(4);
    bench.camera.lens.focal_px += focal_px;
    const SessionFit fit =
        fit_session(rallies(drag, 0.2), bench, FlightOptions{}, {});
    const double angle_deg =
        deg_from_rad(std::atan2(kBack_mps.z(), kBack_mps.head<2>().norm()));
    speed2 += std::pow((mean_returned(fit, kBackSpeed) - kBack_mps.norm()) /
                           fit.common.sigma_returned[kBackSpeed],
                       2);
    angle2 += std::pow((mean_returned(fit, kBackAngle) - angle_deg) /
                           fit.common.sigma_returned[kBackAngle],
                       2);
    ++runs;
  }
  MESSAGE("rms of error over what is stated: speed "
          << std::sqrt(speed2 / runs) << ", angle "
          << std::sqrt(angle2 / runs));
  CHECK(std::sqrt(speed2 / runs) < 1.7);
  CHECK(std::sqrt(angle2 / runs) < 1.7);
  CHECK(std::sqrt((speed2 + angle2) / (2 * runs)) > 0.2);
}

TEST_CASE("of a landing that no return shows nothing is stated") {
  constexpr auto kLanding = static_cast<std::size_t>(ReturnValue::kX);
  const Bench bench = bench_with_focal_sd(4);
  const SessionFit seen =
      fit_session(rallies(0.5, 0.2), bench, FlightOptions{}, {});
  const SessionFit lost =
      fit_session(rallies(0.5, 0.2, 0.4), bench, FlightOptions{}, {});
  CHECK(seen.common.sigma_returned[kLanding] > 0);
  CHECK(lost.common.sigma_returned[kBackSpeed] > 0);
  CHECK(std::isnan(lost.common.sigma_returned[kLanding]));
}
