// SPDX-License-Identifier: MIT
#include "flight/trajectory_fit.h"

#include "flight/flight_residuals.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "flight_bench.h"
#include <ceres/jet.h>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// A draw of a launcher's feeds, lifts and drag from the fit's own priors.
FlightVector drawn_flight(const FlightOptions& options, RandomEngine& random) {
  std::normal_distribution<double> normal(0, 1);
  FlightVector p = usual_flight();
  p[kBounceX] += 0.03 * normal(random);
  p[kBounceY] += 0.02 * normal(random);
  for (int k = kVelocityIn; k < kVelocityOut; ++k) {
    p[k] += 0.05 * normal(random);
  }
  p[kDrag] = options.drag.mean + options.drag.sd * normal(random);
  for (const int k : {kLiftIn, kLiftOut}) {
    p[k] = 0.5 * options.lift_in.sd * normal(random);
  }
  for (const int k : {kSideLiftIn, kSideLiftOut}) {
    p[k] = 0.5 * options.side_lift_in.sd * normal(random);
  }
  p[kVelocityOut + 2] =
      -p[kVelocityIn + 2] * (options.restitution.mean +
                             0.5 * options.restitution.sd * normal(random));
  return p;
}

}  // namespace

TEST_CASE("a flight without noise is recovered from any side") {
  const FlightOptions options;
  int run = 0;
  for (const double side_deg : {0.0, 15.0, 30.0, 45.0}) {
    for (const double fps : {60.0, 240.0}) {
      CAPTURE(side_deg);
      CAPTURE(fps);
      RandomEngine random = derived_engine(1, "fit/zero noise", run++);
      const FlightVector truth = usual_flight();
      auto sightings = sightings_of(truth, camera_at(side_deg), fps, 0, random);
      // So sure of the sightings that the priors hardly pull.
      for (Sighting& s : sightings) s.sigma_px = 1e-3;
      const FlightFit fit = fit_flight(sightings, camera_at(side_deg), options);
      REQUIRE(fit.ok());
      CHECK(fit.bounce_seen());
      CHECK(std::abs(fit.parameters[kBounceX] - truth[kBounceX]) < 2e-4);
      CHECK(std::abs(fit.parameters[kBounceY] - truth[kBounceY]) < 1e-4);
      CHECK(std::abs(fit.parameters[kTimeOfBounce] - 1.0) < 5e-5);
      CHECK((fit.parameters - truth).segment<3>(kVelocityIn).norm() < 0.01);
    }
  }
  CHECK(run == 8);
}

// 60 flights: the sd of a normalised error is known to 9 %, the share inside a
// 95 % ellipse to 3 %; the limits are three of these.
TEST_CASE("the stated uncertainty covers the error") {
  const FlightOptions options;
  for (const double side_deg : {0.0, 40.0}) {
    CAPTURE(side_deg);
    const CameraModel camera = camera_at(side_deg);
    constexpr int kFlights = 60;
    double sum_x2 = 0, sum_y2 = 0, sum_t2 = 0;
    int fitted = 0, inside = 0;
    for (int i = 0; i < kFlights; ++i) {
      RandomEngine random = derived_engine(1, "fit/coverage", i);
      const FlightVector truth = drawn_flight(options, random);
      const FlightFit fit = fit_flight(
          sightings_of(truth, camera, 60, 0.2, random), camera, options);
      if (!fit.ok()) continue;
      ++fitted;
      const FlightVector error = fit.parameters - truth;
      const auto& c = fit.covariance;
      sum_x2 += error[kBounceX] * error[kBounceX] / c(kBounceX, kBounceX);
      sum_y2 += error[kBounceY] * error[kBounceY] / c(kBounceY, kBounceY);
      sum_t2 += error[kTimeOfBounce] * error[kTimeOfBounce] /
                c(kTimeOfBounce, kTimeOfBounce);
      const Eigen::Vector2d e = error.segment<2>(kBounceX);
      const Eigen::Matrix2d cxy = c.block<2, 2>(kBounceX, kBounceX);
      inside += e.dot(cxy.inverse() * e) < 5.991;  // chi-squared, 2, 95 %
    }
    CHECK(fitted == kFlights);
    CHECK(std::sqrt(sum_x2 / fitted) > 0.73);
    CHECK(std::sqrt(sum_x2 / fitted) < 1.27);
    CHECK(std::sqrt(sum_y2 / fitted) > 0.73);
    CHECK(std::sqrt(sum_y2 / fitted) < 1.27);
    CHECK(std::sqrt(sum_t2 / fitted) > 0.73);
    CHECK(std::sqrt(sum_t2 / fitted) < 1.27);
    CHECK(inside > 0.86 * fitted);
  }
}

// A ball half out of the picture is known to many pixels, and says so.
TEST_CASE("a vague sighting does not spoil the residual of the others") {
  const FlightOptions options;
  const CameraModel camera = camera_at(30);
  RandomEngine random = derived_engine(1, "fit/vague", 0);
  auto sightings = sightings_of(usual_flight(), camera, 60, 0.2, random);
  const FlightFit sharp = fit_flight(sightings, camera, options);
  sightings.back().centre_px += Eigen::Vector2d(-15, 12);
  sightings.back().sigma_px = 25;
  const FlightFit vague = fit_flight(sightings, camera, options);
  REQUIRE(sharp.ok());
  REQUIRE(vague.ok());
  REQUIRE(vague.used.back() != 0);
  CHECK(sharp.rms_px > 0.1);
  CHECK(std::abs(vague.rms_px / sharp.rms_px - 1) < 0.15);
}

TEST_CASE("the Jacobian agrees with central differences") {
  const FlightOptions options;
  CameraModel camera = camera_at(30);
  camera.exposure_s = 0.004;  // one sighting sees the bounce as a V
  RandomEngine random = derived_engine(1, "fit/jacobian");
  const auto sightings = sightings_of(usual_flight(), camera, 120, 0, random);
  const std::vector<double> weights(sightings.size(), 1.0);
  const FlightResiduals residuals(sightings, camera, options, weights);
  using Jet = ceres::Jet<double, kFlightParameters>;
  FlightVectorT<Jet> p = FlightVectorT<Jet>::Zero();
  for (int k = 0; k < kFlightParameters; ++k) {
    p[k] = Jet(usual_flight()[k], k);
  }
  std::vector<Jet> exact(static_cast<std::size_t>(residuals.NumResiduals()));
  REQUIRE(residuals(p.data(), exact.data()));
  int compared = 0;
  for (int k = 0; k < kFlightParameters; ++k) {
    const double step = 1e-6;
    FlightVector up = usual_flight(), down = usual_flight();
    up[k] += step;
    down[k] -= step;
    std::vector<double> r_up(exact.size()), r_down(exact.size());
    REQUIRE(residuals(up.data(), r_up.data()));
    REQUIRE(residuals(down.data(), r_down.data()));
    for (std::size_t i = 0; i < exact.size(); ++i) {
      const double numeric = (r_up[i] - r_down[i]) / (2 * step);
      CHECK(exact[i].v[k] == doctest::Approx(numeric).epsilon(1e-4).scale(10));
      ++compared;
    }
  }
  CHECK(compared > 500);
}

TEST_CASE("outliers, a second bounce and a return are left out") {
  const FlightOptions options;
  const CameraModel camera = camera_at(30);
  RandomEngine random = derived_engine(1, "fit/outliers");
  auto sightings = sightings_of(usual_flight(), camera, 120, 0.2, random, 0.15);
  sightings[5].centre_px += Eigen::Vector2d(15, -8);
  for (int i = 1; i <= 8; ++i) {  // something sends the ball back
    Sighting s = sightings.back();
    s.t_s += 1.0 / 120;
    s.centre_px -= Eigen::Vector2d(9, 2);
    sightings.push_back(s);
  }
  const FlightFit fit = fit_flight(sightings, camera, options);
  REQUIRE(fit.ok());
  CHECK(fit.used[5] == 0);
  CHECK(fit.end_s < 1.16);
  CHECK(std::abs(fit.parameters[kBounceX] - 0.70) < 0.006);
}

TEST_CASE("a flight behind the camera has residuals but no covariance") {
  const FlightOptions options;
  const CameraModel camera = camera_at(30);
  RandomEngine random = derived_engine(1, "fit/behind");
  const auto sightings = sightings_of(usual_flight(), camera, 60, 0.2, random);
  FlightVector behind = usual_flight();
  behind[kBounceY] = 12;  // the camera stands at y = 1.4 and looks along -y
  const std::vector<double> weights(sightings.size(), 1.0);
  const FlightResiduals residuals(sightings, camera, options, weights);
  std::vector<double> r(static_cast<std::size_t>(residuals.NumResiduals()),
                        std::nan(""));
  CHECK_FALSE(residuals(behind.data(), r.data()));
  for (std::size_t i = 0; i < 2 * sightings.size(); ++i) {
    CHECK(r[i] == kBehindCamera);
  }
  const FlightFit fit = refine_flight(sightings, camera, options, behind);
  CHECK_FALSE(fit.ok());
  CHECK(fit.message == "the covariance cannot be computed");
}

TEST_CASE("a ball seen falling past the table's end is a feed") {
  const FlightOptions options;
  FlightVector long_feed = usual_flight();
  long_feed[kBounceX] = 1.1;
  int deep = 0;
  for (const double side_deg : {0.0, 30.0, 45.0}) {
    CAPTURE(side_deg);
    const CameraModel camera = camera_at(side_deg);
    RandomEngine random = derived_engine(1, "fit/falling");
    const auto sightings =
        sightings_of(long_feed, camera, 60, 0.2, random, 0.62);
    const FlightFit fit = fit_flight(sightings, camera, options);
    REQUIRE(fit.ok());
    CHECK(fit.bounce_seen());
    const double sigma = std::sqrt(fit.covariance(kBounceX, kBounceX));
    CHECK(std::abs(fit.parameters[kBounceX] - 1.1) < 4 * sigma);
    deep += flight_state(fit.parameters, options, fit.end_s).x_m.z() < -0.3;
  }
  CHECK(deep == 3);
}

TEST_CASE("a flight goes neither through the table nor through the floor") {
  FlightVector long_feed = usual_flight();
  long_feed[kBounceX] = 1.1;
  const CameraModel camera = camera_at(30);
  RandomEngine random = derived_engine(1, "fit/through");
  const auto sightings = sightings_of(long_feed, camera, 60, 0.2, random, 0.62);
  FlightOptions options;
  options.table.half_length_m = 5;  // the ball would be below the top
  FlightFit fit = refine_flight(sightings, camera, options, long_feed);
  CHECK_FALSE(fit.ok());
  CHECK(fit.message.find("through the table") != std::string::npos);
  options.table = {};
  options.table.floor_z_m = 0;  // a court: no edge to fall from
  fit = refine_flight(sightings, camera, options, long_feed);
  CHECK_FALSE(fit.ok());
}

TEST_CASE("a ball turns where a table is, or something else turned it") {
  const FlightOptions options;
  const CameraModel camera = camera_at(30);
  FlightVector wide = usual_flight();
  for (const bool on_table : {true, false}) {
    CAPTURE(on_table);
    wide[kBounceY] = on_table ? 0.74 : 0.95;
    RandomEngine random = derived_engine(1, "fit/beside");
    const auto sightings = sightings_of(wide, camera, 60, 0.2, random);
    CHECK(fit_flight(sightings, camera, options).ok() == on_table);
    const FlightFit fit = refine_flight(sightings, camera, options, wide);
    CHECK(fit.ok() == on_table);
    if (!on_table) {
      CHECK(fit.message == "the flight turns where there is no table");
    }
  }
}

TEST_CASE("what cannot be fitted says so and holds nothing") {
  const FlightOptions options;
  const CameraModel camera = camera_at(30);
  const FlightFit none = fit_flight({}, camera, options);
  CHECK(none.status == FitStatus::kTooFewSightings);
  CHECK(none.message.find("0 sightings") == 0);
  RandomEngine random = derived_engine(1, "fit/nonsense");
  std::uniform_real_distribution<double> anywhere(0, 1000);
  std::vector<Sighting> scattered(20);
  for (std::size_t i = 0; i < scattered.size(); ++i) {
    scattered[i].t_s = 0.02 * static_cast<double>(i);
    scattered[i].centre_px = {anywhere(random), anywhere(random)};
    scattered[i].sigma_px = 0.2;
  }
  const FlightFit nonsense = fit_flight(scattered, camera, options);
  CHECK((!nonsense.ok() || nonsense.before + nonsense.after < 10));
  // A flight's width beside it, and said to be seen sharply.
  auto blurred = sightings_of(usual_flight(), camera, 120, 30, random);
  for (Sighting& s : blurred) s.sigma_px = 0.2;
  CHECK(fit_flight(blurred, camera, options).message ==
        "no flight with one bounce explains the sightings");
  // A tenth of the error stated is a bad estimate, not another thing.
  auto bold = sightings_of(usual_flight(), camera, 120, 2, random);
  for (Sighting& s : bold) s.sigma_px = 0.2;
  CHECK(fit_flight(bold, camera, options).ok());
}

TEST_CASE("a landing that was not seen is computed, with a wide sigma") {
  const FlightOptions options;
  const CameraModel camera = camera_at(30);
  RandomEngine random = derived_engine(1, "fit/extrapolated");
  auto sightings = sightings_of(usual_flight(), camera, 120, 0.2, random);
  std::erase_if(sightings, [](const Sighting& s) { return s.t_s > 0.93; });
  const FlightFit fit = fit_flight(sightings, camera, options);
  REQUIRE(fit.ok());
  CHECK_FALSE(fit.bounce_seen());
  const double sigma = std::sqrt(fit.covariance(kBounceX, kBounceX));
  CHECK(sigma > 0.003);
  CHECK(std::abs(fit.parameters[kBounceX] - 0.70) < 4 * sigma);
}

namespace {

// The usual feed until it touches table or floor, and then for long whatever
// jumps and rolls on from there, as a camera from above sees it.
std::vector<Sighting> followed(FlightVector flight,
                               const CameraModel& camera,
                               double floor_z_m) {
  const FlightOptions options;
  RandomEngine random = derived_engine(1, "fit/followed");
  double t_s = flight[kTimeOfBounce] + 0.02;
  while (flight_state(flight, options, t_s).x_m.z() > floor_z_m) t_s += 1e-3;
  const double flown_s = t_s - flight[kTimeOfBounce];
  auto all = sightings_of(flight, camera, 30, 0.2, random, flown_s);
  const auto down = flight_state(flight, options, t_s);
  const double touched_s = t_s;
  const double up_mps = -0.8 * down.v_mps.z();
  while (t_s < touched_s + 0.3) {
    t_s = all.back().t_s + 1 / 30.;
    const double s = t_s - touched_s;
    Sighting next = all.back();
    next.t_s = t_s;
    next.centre_px = *camera.project(
        down.x_m + Eigen::Vector3d(0.8 * down.v_mps.x() * s,
                                   down.v_mps.y() * s,
                                   up_mps * s - kGravity_mps2 * s * s / 2));
    all.push_back(next);
  }
  return all;
}

}  // namespace

// A picture before the bounce is the last: there is no minimum at it, and every
// later moment fits as well.
TEST_CASE("a bounce in the gap after the last sighting is among the flights") {
  constexpr double kFps = 30;
  int asked = 0;
  int offered = 0;
  for (const double side_deg : {20.0, 45.0}) {
    for (int run = 0; run < 6; ++run) {
      RandomEngine random = derived_engine(1, "last gaps", run);
      const FlightVector truth = usual_flight();
      const CameraModel camera = camera_at(side_deg);
      const auto sightings =
          sightings_of(truth, camera, kFps, 0.3, random, 0.9 / kFps);
      if (sightings.back().t_s > truth[kTimeOfBounce]) continue;
      ++asked;
      const auto flights = flights_doubting_bounce(
          sightings, camera, FlightOptions{}, sightings.back().t_s, 0);
      offered += std::any_of(
          flights.begin(), flights.end(), [&](const LikelyFlight& one) {
            return std::abs(one.fit.parameters[kTimeOfBounce] -
                            truth[kTimeOfBounce]) < 0.005;
          });
    }
  }
  CHECK(asked == 8);
  CHECK(offered >= 7);
}

TEST_CASE("a flight ends where the ball touches again, on table or floor") {
  const FlightOptions options;
  CameraModel camera = camera_at(0);
  camera.lens.focal_px = 700;
  FlightVector twice = usual_flight();  // backspin: it lands twice
  twice[kBounceX] = 0.3;
  twice.segment<3>(kVelocityIn) = Eigen::Vector3d(2.9, 0.1, -3.2);
  twice.segment<3>(kVelocityOut) = Eigen::Vector3d(1.2, 0.06, 2.9);
  FlightVector falls = usual_flight();
  falls[kBounceX] = 1.0;
  falls.segment<3>(kVelocityOut) = Eigen::Vector3d(2.2, 0.05, 2.1);
  for (const bool on_table : {true, false}) {
    CAPTURE(on_table);
    const FlightVector& truly = on_table ? twice : falls;
    const double floor_m =
        options.ball.radius_m + (on_table ? 0 : options.table.floor_z_m);
    const auto sightings = followed(truly, camera, floor_m);
    const FlightFit fit = fit_flight(sightings, camera, options);
    REQUIRE(fit.ok());
    const double sigma = std::sqrt(fit.covariance(kBounceX, kBounceX));
    CHECK(std::abs(fit.parameters[kBounceX] - truly[kBounceX]) < 4 * sigma);
    CHECK(fit.end_s < sightings.back().t_s - 0.2);
  }
}
