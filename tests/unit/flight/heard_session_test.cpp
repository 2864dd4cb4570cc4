// SPDX-License-Identifier: MIT
#include "flight/heard_session.h"

#include "base/units.h"
#include "flight/session_fit.h"

#include <algorithm>
#include <cmath>

#include "flight_bench.h"
#include "heard_bench.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kOffset_s = 0.07;

struct HeardBalls {
  std::vector<FlightVector> truth;
  std::vector<FoundFeed> found;
  Ear ear;
};

// Feeds seen from straight overhead, ticks of their bounces among others.
HeardBalls heard_and_seen(int feeds, double others_hz) {
  HeardBalls session;
  const CameraModel camera = camera_at(0);
  session.ear.microphone_m = {0.9, 0, 2.5};
  RandomEngine clutter = derived_engine(3, "others");
  std::normal_distribution<double> normal;
  for (int i = 0; i < feeds; ++i) {
    RandomEngine random = derived_engine(3, "session", i);
    FlightVector p = usual_flight();
    p[kTimeOfBounce] += 1.5 * i + 0.02 * normal(random);
    p[kBounceX] += 0.03 * normal(random);
    FoundFeed feed;
    feed.sightings = sightings_of(p, camera, 60, 0.3, random);
    feed.fit = refine_flight(feed.sightings, camera, FlightOptions{}, p);
    const Eigen::Vector3d at_m(p[kBounceX], p[kBounceY], 0);
    session.ear.ticks.push_back(
        clear_tick(p[kTimeOfBounce] + kOffset_s + 2e-4 * normal(random) +
                   (at_m - session.ear.microphone_m).norm() / 343.2));
    session.truth.push_back(p);
    session.found.push_back(std::move(feed));
  }
  add_others(
      others_hz * 1.5 * feeds, 1.5 * feeds + 1, clutter, session.ear.ticks);
  return session;
}

struct Errors {
  double mean_m = 0, sd_m = 0, z = 0;  ///< of x
};

Errors errors_of(const HeardBalls& session) {
  Errors errors;
  const auto n = static_cast<double>(session.found.size());
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    errors.mean_m += (session.found[i].fit.parameters[kBounceX] -
                      session.truth[i][kBounceX]) /
                     n;
  }
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    const FlightFit& fit = session.found[i].fit;
    const double off_m =
        fit.parameters[kBounceX] - session.truth[i][kBounceX] - errors.mean_m;
    errors.sd_m += off_m * off_m / n;
    errors.z += off_m * off_m / fit.covariance(kBounceX, kBounceX) / n;
  }
  errors.sd_m = std::sqrt(errors.sd_m);
  errors.z = std::sqrt(errors.z);
  return errors;
}

}  // namespace

TEST_CASE("hearing halves the scatter along the table, not the mean's error") {
  HeardBalls session = heard_and_seen(60, 1.0);
  JointAdjustment joint;
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    joint.feeds.push_back(i);
    joint.common.push_back(CommonRoot::Zero(kFlightParameters, 1));
  }
  const Errors seen = errors_of(session);
  const HeardSession heard = hear_session(
      session.ear, camera_at(0), FlightOptions{}, session.found, joint);
  const Errors both = errors_of(session);
  CAPTURE(heard.why_not);
  REQUIRE(heard.agrees);
  MESSAGE("x: sd " << 1e3 * seen.sd_m << " mm seen, " << 1e3 * both.sd_m
                   << " heard, z " << both.z << ", mean " << 1e3 * seen.mean_m
                   << " and " << 1e3 * both.mean_m << ", heard "
                   << heard.heard);
  CHECK(heard.expected == 60);
  CHECK(heard.heard >= 55);
  CHECK(heard.wrong <= 1e-3);
  CHECK(both.sd_m < 0.6 * seen.sd_m);
  CHECK(heard.both.x_m < 0.7 * heard.seen.x_m);
  CHECK(heard.both.t_s < heard.seen.t_s);
  CHECK(both.z > 0.75);
  CHECK(both.z < 1.25);
  CHECK(std::abs(heard.clock.offset_s - kOffset_s) <
        4 * heard.clock.sigma_s(heard.clock.middle_s));
  CHECK(std::count(heard.by_ear.begin(), heard.by_ear.end(), 1) == heard.heard);
  // The clock's uncertainty is in what all have in common, along the flight.
  const double common_m = joint.common[30].row(kBounceX).norm();
  CHECK(common_m > 2 * heard.clock.sigma_s(heard.clock.middle_s));
  CHECK(std::abs(both.mean_m - seen.mean_m) < 4 * common_m);
}

TEST_CASE("sound that does not agree touches nothing") {
  HeardBalls session = heard_and_seen(30, 2.0);
  HeardBalls other = session;
  for (Tick& tick : session.ear.ticks) tick.t_s *= 1.01;
  JointAdjustment joint;
  const HeardSession heard = hear_session(
      session.ear, camera_at(0), FlightOptions{}, session.found, joint);
  CHECK_FALSE(heard.agrees);
  CHECK_FALSE(heard.why_not.empty());
  CHECK(heard.heard == 0);
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    CHECK(session.found[i].fit.parameters == other.found[i].fit.parameters);
    CHECK(session.found[i].fit.covariance == other.found[i].fit.covariance);
  }
}

TEST_CASE("a feed whose tick contradicts its sight keeps what was seen") {
  HeardBalls session = heard_and_seen(40, 0.2);
  const FlightVector before = session.found[12].fit.parameters;
  for (Tick& tick : session.ear.ticks) {
    const double off_s = tick.t_s - before[kTimeOfBounce] - kOffset_s;
    if (std::abs(off_s) < 0.05) tick.t_s += 0.03;
  }
  JointAdjustment joint;
  const HeardSession heard = hear_session(
      session.ear, camera_at(0), FlightOptions{}, session.found, joint);
  REQUIRE(heard.agrees);
  CHECK(heard.by_ear[12] == 0);
  CHECK(session.found[12].fit.parameters == before);
  CHECK(heard.heard >= 36);
}

TEST_CASE("a session with an ear says which bounces it heard") {
  const HeardBalls session = heard_and_seen(30, 1.0);
  Bench bench;
  bench.camera = camera_at(0);
  bench.camera.readout_s = 0;
  SessionFitOptions with_ear;
  with_ear.ear = session.ear;
  const auto sd_mm = [&](const SessionFit& fit) {
    REQUIRE(fit.feeds.size() == session.truth.size());
    std::vector<double> off_mm;
    double mean = 0;
    for (std::size_t i = 0; i < fit.feeds.size(); ++i) {
      off_mm.push_back(fit.feeds[i][Characteristic::kX].value -
                       mm_from_m(session.truth[i][kBounceX]));
      mean += off_mm.back() / static_cast<double>(fit.feeds.size());
    }
    double sum = 0;
    for (const double off : off_mm) sum += (off - mean) * (off - mean);
    return std::sqrt(sum / static_cast<double>(off_mm.size()));
  };
  const SessionFit seen = fit_session(session.found, bench, {}, {});
  const SessionFit both = fit_session(session.found, bench, {}, {}, with_ear);
  MESSAGE("adjusted together, x: sd " << sd_mm(seen) << " mm seen, "
                                      << sd_mm(both) << " heard");
  CHECK(sd_mm(both) < 0.75 * sd_mm(seen));
  REQUIRE(both.heard);
  int by_ear = 0;
  for (const Feed& feed : both.feeds) by_ear += feed.timing == "sight+sound";
  CHECK(by_ear == both.heard->heard);
  CHECK(by_ear >= 27);
  constexpr auto kX = static_cast<std::size_t>(Characteristic::kX);
  CHECK(both.common.sigma[kX] >= seen.common.sigma[kX]);
  CHECK_FALSE(seen.heard);
  CHECK(seen.feeds[0].timing == "sight");

  // The sound of something else: not a digit differs, and why is said.
  for (Tick& tick : with_ear.ear->ticks) tick.t_s *= 1.01;
  const SessionFit deaf = fit_session(session.found, bench, {}, {}, with_ear);
  for (std::size_t i = 0; i < deaf.feeds.size(); ++i) {
    CHECK(deaf.feeds[i].timing == "sight");
    CHECK(deaf.feeds[i].note == seen.feeds[i].note);
    CHECK(deaf.feeds[i].t_bounce_s == seen.feeds[i].t_bounce_s);
    CHECK(deaf.feeds[i][Characteristic::kX].value ==
          seen.feeds[i][Characteristic::kX].value);
    CHECK(deaf.feeds[i][Characteristic::kX].sigma ==
          seen.feeds[i][Characteristic::kX].sigma);
  }
  REQUIRE(deaf.heard);
  CHECK_FALSE(deaf.heard->agrees);
  CHECK_FALSE(deaf.heard->why_not.empty());
}
