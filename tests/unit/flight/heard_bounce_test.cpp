// SPDX-License-Identifier: MIT
#include "flight/heard_bounce.h"

#include <cmath>

#include "flight_bench.h"
#include <Eigen/Cholesky>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kHear_s = 3e-4;

struct Compared {
  int feeds = 0;
  int used = 0;
  double seen_m = 0, heard_m = 0;  ///< rms error of x
  double stated_m = 0;             ///< rms of the sigma stated with sound
  double z2_x = 0, z2_t = 0;       ///< with sound
};

// Flights of the usual kind from this side, with and without sound.
Compared compare(double side_deg, double fps, int feeds) {
  Compared result;
  const CameraModel camera = camera_at(side_deg);
  const FlightOptions options;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(2, "heard", i);
    std::normal_distribution<double> normal;
    FlightVector truth = usual_flight();
    truth[kBounceX] += 0.03 * normal(random);
    truth[kVelocityIn] += 0.05 * normal(random);
    const auto sightings = sightings_of(truth, camera, fps, 0.3, random);
    const FlightFit seen = refine_flight(sightings, camera, options, truth);
    if (!seen.ok()) continue;
    const HeardFlight heard =
        with_heard_bounce(seen,
                          sightings,
                          camera,
                          options,
                          truth[kTimeOfBounce] + kHear_s * normal(random),
                          kHear_s);
    ++result.feeds;
    result.used += heard.used;
    const FlightVector was = seen.parameters - truth;
    const FlightVector is = heard.fit.parameters - truth;
    const auto& c = heard.fit.covariance;
    result.seen_m += was[kBounceX] * was[kBounceX];
    result.heard_m += is[kBounceX] * is[kBounceX];
    result.stated_m += c(kBounceX, kBounceX);
    result.z2_x += is[kBounceX] * is[kBounceX] / c(kBounceX, kBounceX);
    result.z2_t +=
        is[kTimeOfBounce] * is[kTimeOfBounce] / c(kTimeOfBounce, kTimeOfBounce);
  }
  for (double* sum : {&result.seen_m,
                      &result.heard_m,
                      &result.stated_m,
                      &result.z2_x,
                      &result.z2_t}) {
    *sum = std::sqrt(*sum / result.feeds);
  }
  return result;
}

}  // namespace

TEST_CASE("from overhead a bounce that was heard is placed better") {
  struct View {
    double side_deg;
    double fps;
    double least_gain;  ///< of the error along the table
  };
  const View views[] = {{0, 60, 1.8}, {0, 25, 2.2}, {30, 60, 1.0}};
  int views_run = 0;
  for (const View& view : views) {
    const Compared c = compare(view.side_deg, view.fps, 150);
    MESSAGE(view.side_deg << " degrees, " << view.fps << "/s: x "
                          << 1e3 * c.seen_m << " mm seen, " << 1e3 * c.heard_m
                          << " heard (stated " << 1e3 * c.stated_m
                          << "), z of x " << c.z2_x << ", of t " << c.z2_t
                          << ", used " << c.used << " of " << c.feeds);
    CHECK(c.feeds >= 145);
    CHECK(c.used >= c.feeds - 3);
    CHECK(c.heard_m * view.least_gain < c.seen_m * 1.02);
    CHECK(c.z2_x > 0.75);
    CHECK(c.z2_x < 1.25);
    CHECK(c.z2_t > 0.75);
    CHECK(c.z2_t < 1.25);
    ++views_run;
  }
  CHECK(views_run == 3);
}

TEST_CASE("what is heard moves a flight as one more residual would") {
  RandomEngine random = derived_engine(2, "heard", 999);
  const CameraModel camera = camera_at(0);
  const FlightOptions options;
  const auto sightings = sightings_of(usual_flight(), camera, 60, 0.3, random);
  const FlightFit seen =
      refine_flight(sightings, camera, options, usual_flight());
  REQUIRE(seen.ok());
  const double sd_s = std::sqrt(seen.covariance(kTimeOfBounce, kTimeOfBounce));
  const double heard_s = seen.parameters[kTimeOfBounce] + 0.7 * sd_s;
  const HeardFlight heard =
      with_heard_bounce(seen, sightings, camera, options, heard_s, sd_s);
  REQUIRE(heard.used);
  // Two equally good times: the mean, half the variance.
  CHECK(heard.fit.parameters[kTimeOfBounce] - seen.parameters[kTimeOfBounce] ==
        doctest::Approx(0.35 * sd_s));
  CHECK(heard.fit.covariance(kTimeOfBounce, kTimeOfBounce) ==
        doctest::Approx(sd_s * sd_s / 2));
  // Information adds up: P'^-1 = P^-1 + e e^T / R (in units of P's sigmas).
  const FlightVector unit = seen.covariance.diagonal().cwiseSqrt();
  const auto information = [&](const FlightCovariance& c) {
    const FlightCovariance scaled =
        unit.cwiseInverse().asDiagonal() * c * unit.cwiseInverse().asDiagonal();
    return FlightCovariance(scaled.inverse());
  };
  FlightCovariance more =
      information(heard.fit.covariance) - information(seen.covariance);
  more(kTimeOfBounce, kTimeOfBounce) -= 1;
  CHECK(more.cwiseAbs().maxCoeff() < 1e-3);
  // Nothing is claimed that was not gained.
  const FlightCovariance less = seen.covariance - heard.fit.covariance;
  for (int k = 0; k < kFlightParameters; ++k) CHECK(less(k, k) >= -1e-15);
}

TEST_CASE("sight wins against a sound that cannot be the bounce's") {
  RandomEngine random = derived_engine(2, "heard", 998);
  const CameraModel camera = camera_at(30);
  const FlightOptions options;
  const auto sightings = sightings_of(usual_flight(), camera, 60, 0.3, random);
  const FlightFit seen =
      refine_flight(sightings, camera, options, usual_flight());
  REQUIRE(seen.ok());
  const HeardFlight heard =
      with_heard_bounce(seen,
                        sightings,
                        camera,
                        options,
                        seen.parameters[kTimeOfBounce] + 0.02,
                        kHear_s);
  CHECK_FALSE(heard.used);
  CHECK(heard.why_not.find("20.0 ms") != std::string::npos);
  CHECK(heard.fit.parameters == seen.parameters);
  CHECK(heard.fit.covariance == seen.covariance);
  const HeardFlight nothing =
      with_heard_bounce(FlightFit{}, sightings, camera, options, 1.0, kHear_s);
  CHECK_FALSE(nothing.used);
}

TEST_CASE("sightings that contradict what was heard keep their flight") {
  RandomEngine random = derived_engine(2, "heard", 998);
  const CameraModel camera = camera_at(0);
  const FlightOptions options;
  const auto sightings = sightings_of(usual_flight(), camera, 60, 0.3, random);
  FlightFit seen = refine_flight(sightings, camera, options, usual_flight());
  REQUIRE(seen.ok());
  seen.covariance *= 400;  // as if nearly nothing had been seen
  const double sd_s = std::sqrt(seen.covariance(kTimeOfBounce, kTimeOfBounce));
  const HeardFlight heard =
      with_heard_bounce(seen,
                        sightings,
                        camera,
                        options,
                        seen.parameters[kTimeOfBounce] + sd_s,
                        kHear_s);
  CHECK_FALSE(heard.used);
  CHECK(heard.why_not.find("does not explain") != std::string::npos);
  CHECK(heard.fit.parameters == seen.parameters);
}
