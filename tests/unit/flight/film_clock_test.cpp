// SPDX-License-Identifier: MIT
#include "flight/film_clock.h"

#include "flight/flight_residuals.h"
#include "flight/session_fit.h"

#include <algorithm>
#include <cmath>

#include "flight_bench.h"
#include <Eigen/LU>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kZ = kSessionParameters;

// One unknown of the session beside the clock.
ClockEquations two_unknowns() {
  ClockEquations all;
  all.information(0, 0) = 8;
  all.information(0, kZ) = all.information(kZ, 0) = 300;
  all.information(kZ, kZ) = 4e4;
  all.pull[0] = 12;
  all.pull[kZ] = 900;
  return all;
}

// A dozen like feeds of a launcher, as filmed by a film that plays `slower`
// times slower than it was taken.
std::vector<FoundFeed> played(double slower, const CameraModel& camera) {
  std::vector<FoundFeed> found;
  for (int i = 0; i < 12; ++i) {
    RandomEngine random = derived_engine(1, "film clock", i);
    std::normal_distribution<double> normal(0, 1);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] += 2 * i;
    p[kBounceX] += 0.02 * normal(random);
    p[kVelocityIn] += 0.03 * normal(random);
    p[kVelocityIn + 2] += 0.03 * normal(random);
    p[kVelocityOut + 2] = -0.92 * p[kVelocityIn + 2];
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, 100, 0.2, random);
    for (Sighting& s : feed.sightings) s.t_s *= slower;
    p[kTimeOfBounce] *= slower;
    p.segment<3>(kVelocityIn) /= slower;
    p.segment<3>(kVelocityOut) /= slower;
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    found.push_back(std::move(feed));
  }
  return found;
}

// What the launcher's spin is, is known.
FlightOptions spin_told() {
  FlightOptions options;
  options.lift_in = {-0.1, 0.01};
  options.lift_out = {-0.05, 0.01};
  return options;
}

SessionFit fitted(double slower, const FlightOptions& options, double sd) {
  Bench bench;
  bench.camera = camera_at(40);
  bench.camera.readout_s = 0;
  bench.camera.exposure_s = 0;
  SessionFitOptions session;
  session.joint.clock_sd = sd;
  return fit_session(played(slower, bench.camera), bench, options, {}, session);
}

double mean_of(const SessionFit& fit, Characteristic id) {
  double sum = 0;
  for (const Feed& feed : fit.feeds) sum += feed[id].value;
  return sum / static_cast<double>(fit.feeds.size());
}

}  // namespace

// Slowed pictures of a flight, a streak across the bounce and a known passage
// are those of the flight itself once the clock is allowed for.
TEST_CASE("residuals by a slower clock are those of the film as taken") {
  constexpr double kSlower = 1.3;
  FlightOptions options;
  options.passage =
      KnownPassage{1.2, {0.9, 0.1, 0.2}, Eigen::Matrix3d::Identity() * 50};
  FlightOptions slowed_options = options;
  slowed_options.passage->t_s = 1 + kSlower * 0.2;
  CameraModel camera = camera_at(30);
  camera.exposure_s = 0.008;
  CameraModel slowed_camera = camera;
  slowed_camera.exposure_s = kSlower * 0.008;
  const FlightVector p = usual_flight();
  RandomEngine random = derived_engine(1, "film clock/residuals");
  const auto sightings = sightings_of(p, camera, 120, 0, random);
  std::vector<Sighting> slowed = sightings;
  for (Sighting& s : slowed) s.t_s = 1 + kSlower * (s.t_s - 1);
  const std::vector<double> weights(sightings.size(), 1.0);
  const FlightResiduals taken(sightings, camera, options, weights);
  const FlightResiduals played(
      slowed, slowed_camera, slowed_options, weights, 1 / kSlower);
  std::vector<double> expected(static_cast<std::size_t>(taken.NumResiduals()));
  std::vector<double> seen(expected.size());
  REQUIRE(taken(p.data(), expected.data()));
  REQUIRE(played(p.data(), seen.data()));
  for (std::size_t i = 0; i < seen.size(); ++i) {
    CAPTURE(i);
    CHECK(std::abs(seen[i] - expected[i]) < 1e-6);
  }
}

TEST_CASE("the clock is what two equations say when both are solved") {
  const ClockEquations all = two_unknowns();
  SessionVector z = SessionVector::Zero();
  z[0] = 0.4;
  const FilmClock clock = film_clock(all, z, 0, 0.02);
  Eigen::Matrix2d normal;
  normal << 1 + 8, 300, 300, 4e4;
  const Eigen::Matrix2d covariance = normal.inverse();
  const Eigen::Vector2d solved = covariance * Eigen::Vector2d(12 - 0.4, 900);
  CHECK(clock.told.mean == doctest::Approx(solved[1]).epsilon(1e-9));
  CHECK(clock.told.sd ==
        doctest::Approx(std::sqrt(covariance(1, 1))).epsilon(1e-9));
  // With what was believed of it, as another observation of the clock.
  normal(1, 1) += 1 / (0.02 * 0.02);
  const Eigen::Matrix2d both = normal.inverse();
  const double mean = (both * Eigen::Vector2d(12 - 0.4, 900))[1];
  CHECK(clock.off ==
        doctest::Approx(std::hypot(mean, std::sqrt(both(1, 1)))).epsilon(1e-9));
}

TEST_CASE("feeds that say nothing of the clock leave what was believed") {
  ClockEquations none = two_unknowns();
  none.information.row(kZ).setZero();
  none.information.col(kZ).setZero();
  none.pull[kZ] = 0;
  const FilmClock clock = film_clock(none, SessionVector::Zero(), 0, 0.02);
  CHECK(std::isinf(clock.told.sd));
  CHECK(clock.off == 0.02);
}

TEST_CASE("a clock that is known is not off") {
  CHECK(film_clock(two_unknowns(), SessionVector::Zero(), 0, 0).off == 0);
  const SessionFit fit = fitted(1, spin_told(), 0);
  CHECK(fit.common.clock == 0);
  for (const CommonCause& cause : fit.common.causes) {
    CHECK(cause.name != kFilmsClock);
  }
}

TEST_CASE("with the spin told gravity tells a film that plays 4 % slower") {
  const FilmClock natural = fitted(1, spin_told(), 0).clock;
  REQUIRE(natural.told.sd < 0.02);
  CHECK(std::abs(natural.told.mean) < 2 * natural.told.sd);
  const FilmClock slowed = fitted(1.04, spin_told(), 0).clock;
  CHECK(std::abs(slowed.told.mean - std::log(1.04)) < 2 * slowed.told.sd);
  CHECK(slowed.told.mean > 2 * slowed.told.sd);
}

TEST_CASE("a clock that is not known stands in what speeds are uncertain by") {
  constexpr double kSlower = 1.01;
  const SessionFit known = fitted(1, FlightOptions{}, 0);
  const SessionFit unknown = fitted(1, FlightOptions{}, 0.02);
  // The film is taken at its word.
  for (const Characteristic id :
       {Characteristic::kX, Characteristic::kSpeedIn}) {
    CHECK(mean_of(unknown, id) == mean_of(known, id));
  }
  const auto speed = static_cast<std::size_t>(Characteristic::kSpeedIn);
  const double mps = mean_of(known, Characteristic::kSpeedIn);
  const double added = std::sqrt(std::pow(unknown.common.sigma[speed], 2) -
                                 std::pow(known.common.sigma[speed], 2));
  CHECK(added > 0.7 * unknown.common.clock * mps);
  CHECK(added < 1.1 * unknown.common.clock * mps);
  // And what the cause says of all of them is what a slowed film does.
  const auto clock = std::find_if(
      unknown.common.causes.begin(),
      unknown.common.causes.end(),
      [](const CommonCause& cause) { return cause.name == kFilmsClock; });
  REQUIRE(clock != unknown.common.causes.end());
  CHECK(clock->of == CauseOf::kFilm);
  const SessionFit slowed = fitted(kSlower, FlightOptions{}, 0.02);
  for (const Characteristic id : {Characteristic::kSpeedIn,
                                  Characteristic::kDescent,
                                  Characteristic::kX}) {
    const auto at = static_cast<std::size_t>(id);
    CAPTURE(at);
    const double told = mean_of(slowed, id) - mean_of(unknown, id);
    const double expected =
        -std::log(kSlower) * clock->moves[at] / unknown.common.clock;
    CHECK(std::abs(told - expected) <
          0.2 * std::abs(expected) + 0.05 * unknown.common.sigma[at]);
  }
}
