// SPDX-License-Identifier: MIT
#include "flight/joint_adjustment.h"

#include "base/units.h"
#include "flight/common_errors.h"
#include "flight/session_fit.h"

#include <algorithm>
#include <map>
#include <string_view>

#include "thrown_session.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

double x_error_mm(const Feed& feed, const FlightVector& truth) {
  return feed[Characteristic::kX].value - 1e3 * truth[kBounceX];
}

}  // namespace

TEST_CASE("without noise the feeds and what they share come back") {
  const CameraModel camera = camera_at(30);
  const Bench bench = known_bench(camera);
  Launcher steady;
  steady.spread = 0.2;
  Session session = filmed(steady, camera, 8, 120, 0, "joint/zero", 0);
  for (FoundFeed& feed : session.found) {
    for (Sighting& s : feed.sightings) s.sigma_px = 2e-3;
  }
  FlightOptions options;
  options.launch_height = LaunchHeight{-1.2, {0.25, 0.005}};
  JointOptions exact;
  exact.common_error_px = 0;
  exact.common_error_share = 0;
  const JointAdjustment joint =
      adjust_jointly(session.found, bench, options, exact);
  REQUIRE(joint.done);
  REQUIRE(joint.flights.size() == 8);
  for (std::size_t i = 0; i < 8; ++i) {
    const FlightVector error = joint.flights[i] - session.truth[i];
    CHECK(error.segment<2>(kBounceX).norm() < 5e-5);
    CHECK(std::abs(error[kTimeOfBounce]) < 1e-5);
    CHECK(error.segment<3>(kVelocityIn).norm() < 3e-3);
  }
  CHECK(std::abs(joint.after[kSessionDrag] - 0.46) < 0.004);
  CHECK(std::abs(joint.after[kSessionLiftIn] + 0.15) < 0.004);
  CHECK(std::abs(joint.after[kSessionRestitution] - 0.95) < 0.004);
  // Where it leaves at -1.2 m, carried on to the place that is found.
  const double dt_s = joint.after[kSessionLaunchPlace] / 5.2;
  const double height_m = 0.30 + 0.9 * dt_s - kGravity_mps2 * dt_s * dt_s / 2;
  CHECK(std::abs(joint.after[kSessionLaunchHeight] - height_m) < 0.003);
}

// 10 sessions of 8 feeds whose sightings have the same errors at the same stage
// of the flight; launchers as the profile believes them.
TEST_CASE("what all feeds err alike is in what they say of the session") {
  const CameraModel camera = camera_at(45);
  const Bench bench = known_bench(camera);
  constexpr int kSessions = 10;
  constexpr double kAlike_px = 0.1;
  constexpr double kNoise_px = 0.05;
  double allowed2 = 0, by_share2 = 0, ignored2 = 0;
  for (int run = 0; run < kSessions; ++run) {
    RandomEngine random = derived_engine(1, "joint/alike", run);
    std::normal_distribution<double> normal;
    Launcher launcher;
    launcher.drag = 0.50 + 0.05 * normal(random);
    launcher.restitution = 0.92 + 0.05 * normal(random);
    Session session =
        filmed(launcher, camera, 8, 60, kNoise_px, "joint/feeds", run);
    std::map<int, Eigen::Vector2d> alike;
    for (std::size_t i = 0; i < session.found.size(); ++i) {
      FoundFeed& feed = session.found[i];
      for (Sighting& s : feed.sightings) {
        const int stage = flight_stage(s.t_s - session.truth[i][kTimeOfBounce]);
        const auto at = alike.try_emplace(
            stage, kAlike_px * normal(random), kAlike_px * normal(random));
        s.centre_px += at.first->second;
      }
      feed.fit = refine_flight(
          feed.sightings, camera, FlightOptions{}, session.truth[i]);
    }
    JointOptions options;
    options.common_error_px = kAlike_px;
    options.common_error_share = 0;
    const auto squares = [&] {
      const JointAdjustment joint =
          adjust_jointly(session.found, bench, FlightOptions{}, options);
      REQUIRE(joint.flights.size() == 8);
      double sum = 0;
      const auto add = [&](int k, double truth) {
        const double error = joint.after[k] - truth;
        sum += error * error / joint.covariance(k, k) / (2 * kSessions);
      };
      add(kSessionDrag, launcher.drag);
      add(kSessionRestitution, launcher.restitution);
      return sum;
    };
    allowed2 += squares();
    options.common_error_px = 0;
    ignored2 += squares();
    options.common_error_share = kAlike_px / kNoise_px;
    by_share2 += squares();
  }
  MESSAGE("error over sigma: ",
          std::sqrt(allowed2),
          " allowed for, ",
          std::sqrt(by_share2),
          " as a share of the noise, ",
          std::sqrt(ignored2),
          " ignored");
  CHECK(std::sqrt(allowed2) > 0.7);
  CHECK(std::sqrt(allowed2) < 1.3);
  CHECK(std::sqrt(by_share2) > 0.7);
  CHECK(std::sqrt(by_share2) < 1.3);
  CHECK(std::sqrt(ignored2) > 2);
}

// 4 sessions of 12 feeds from straight above, where one feed alone hardly
// tells when it bounces.
TEST_CASE("together the feeds tell more, and their sigmas say how much") {
  const CameraModel camera = camera_at(0);
  const Bench bench = known_bench(camera);
  SessionFitOptions alone;
  alone.adjust_jointly = false;
  double single2 = 0, joint2 = 0, normalised2 = 0, mean2 = 0;
  int feeds = 0;
  constexpr int kSessions = 4;
  constexpr int kFeeds = 12;
  for (int run = 0; run < kSessions; ++run) {
    const Session session =
        filmed({}, camera, kFeeds, 60, 0.2, "joint/overhead", run);
    const SessionFit joint =
        fit_session(session.found, bench, FlightOptions{}, {});
    const SessionFit one =
        fit_session(session.found, bench, FlightOptions{}, {}, alone);
    REQUIRE(joint.feeds.size() == kFeeds);
    REQUIRE(one.feeds.size() == kFeeds);
    double mean = 0, mean_one = 0;
    for (std::size_t i = 0; i < kFeeds; ++i) {
      mean += x_error_mm(joint.feeds[i], session.truth[i]) / kFeeds;
      mean_one += x_error_mm(one.feeds[i], session.truth[i]) / kFeeds;
    }
    for (std::size_t i = 0; i < kFeeds; ++i) {
      const double e = x_error_mm(joint.feeds[i], session.truth[i]) - mean;
      const double s = joint.feeds[i][Characteristic::kX].sigma;
      joint2 += e * e;
      normalised2 += e * e / (s * s);
      const double a = x_error_mm(one.feeds[i], session.truth[i]) - mean_one;
      single2 += a * a;
      ++feeds;
    }
    const double common =
        joint.common.sigma[static_cast<std::size_t>(Characteristic::kX)];
    CHECK(common > 0);
    const double own = joint.feeds[6][Characteristic::kX].sigma;
    mean2 += mean * mean / (common * common + own * own / kFeeds);
  }
  CHECK(feeds == 48);
  CHECK(joint2 < 0.7 * single2);
  // 44 degrees of freedom: the ratio is known to 11 %; three of these, and
  // what estimating the spreads costs.
  CHECK(std::sqrt(normalised2 / (feeds - kSessions)) > 0.67);
  CHECK(std::sqrt(normalised2 / (feeds - kSessions)) < 1.33);
  // chi-squared of 4: 0.999 quantile 18.5.
  CHECK(mean2 < 18.5);
}

// Topspin throws every ball of a session forward at its bounce. Believed of
// each feed by itself, the usual kick would pull all of them the same way, and
// no feed's or session's uncertainty would say so.
TEST_CASE("balls that all kick alike are not pulled back to the usual kick") {
  const CameraModel camera = camera_at(0);
  const Bench bench = known_bench(camera);
  Launcher topspin;
  topspin.kick = 1.15;
  constexpr int kSessions = 4;
  constexpr int kFeeds = 15;
  double kick2 = 0, descent2 = 0, kick_mean = 0;
  for (int run = 0; run < kSessions; ++run) {
    const Session session =
        filmed(topspin, camera, kFeeds, 30, 0.2, "joint/topspin", run);
    const SessionFit fit =
        fit_session(session.found, bench, FlightOptions{}, {});
    REQUIRE(fit.feeds.size() == kFeeds);
    const auto strain = [&](Characteristic id, const auto& truth_of) {
      double mean = 0, own2 = 0;
      for (std::size_t i = 0; i < kFeeds; ++i) {
        const Measured& seen = fit.feeds[i][id];
        mean += (seen.value - truth_of(session.truth[i])) / kFeeds;
        own2 += seen.sigma * seen.sigma / (kFeeds * kFeeds);
      }
      const double common = fit.common.sigma[static_cast<std::size_t>(id)];
      if (id == Characteristic::kKick) kick_mean += mean / kSessions;
      return mean * mean / (common * common + own2);
    };
    kick2 += strain(Characteristic::kKick, [](const FlightVector& p) {
      return p.segment<2>(kVelocityOut).norm() /
             p.segment<2>(kVelocityIn).norm();
    });
    descent2 += strain(Characteristic::kDescent, [](const FlightVector& p) {
      return deg_from_rad(
          std::atan2(-p[kVelocityIn + 2], p.segment<2>(kVelocityIn).norm()));
    });
  }
  // chi-squared of 4: 0.999 quantile 18.5.
  CHECK(kick2 < 18.5);
  CHECK(descent2 < 18.5);
  CHECK(std::abs(kick_mean) < 0.03);
}

// Another session with the same wrong prior errs as this one does.
TEST_CASE("a session tells by which cause its feeds err alike, and how far") {
  const CameraModel camera = camera_at(0);
  const Bench bench = known_bench(camera);
  constexpr int kFeeds = 15;
  const Session session =
      filmed(Launcher{}, camera, kFeeds, 60, 0.2, "joint/causes", 1);
  const FlightOptions believed;
  FlightOptions otherwise;
  otherwise.drag.mean += otherwise.drag.sd;
  const SessionFit fit = fit_session(session.found, bench, believed, {});
  const SessionFit other = fit_session(session.found, bench, otherwise, {});
  REQUIRE(fit.feeds.size() == kFeeds);
  REQUIRE(other.feeds.size() == kFeeds);
  const auto cause_called = [&](std::string_view name) {
    const auto at = std::find_if(
        fit.common.causes.begin(),
        fit.common.causes.end(),
        [&](const CommonCause& cause) { return cause.name == name; });
    REQUIRE(at != fit.common.causes.end());
    return at;
  };
  const auto drag = cause_called("drag");
  CHECK(drag->of == CauseOf::kBalls);
  CHECK(drag->believed.mean == believed.drag.mean);
  CHECK(drag->believed.sd == believed.drag.sd);
  const auto place = cause_called("launch place");
  CHECK(place->of == CauseOf::kFilm);
  // Not the flight time: the line it counts from is found anew in each fit.
  for (const Characteristic id :
       {Characteristic::kSpeedIn, Characteristic::kDescent}) {
    const auto at = static_cast<std::size_t>(id);
    CAPTURE(at);
    double moved = 0;
    double squares = 0;
    for (std::size_t i = 0; i < kFeeds; ++i) {
      moved += (other.feeds[i][id].value - fit.feeds[i][id].value) / kFeeds;
    }
    for (const CommonCause& cause : fit.common.causes) {
      squares += cause.moves[at] * cause.moves[at];
    }
    const double sigma = fit.common.sigma[at];
    // Causes that move feeds apart too count less in their mean.
    CHECK(squares < 1.001 * sigma * sigma);
    CHECK(squares > 0.8 * sigma * sigma);
    CHECK(std::abs(drag->moves[at]) > 0.1 * sigma);
    CHECK(std::abs(moved - drag->moves[at]) <
          0.25 * std::abs(drag->moves[at]) + 0.02 * sigma);
  }
}

// Balls that move along the rows' own order: noise in the row must not speak
// for a readout that shifts it away.
TEST_CASE("a readout that is not known is not made long by noise") {
  constexpr double kReadout_s = 0.005;
  constexpr double kNoise_px = 0.8;
  CameraModel camera = camera_at(45);
  camera.camera_from_table =
      look_at({0.9, 2.5, 2.5}, {0.1, 0, 0}, {0, 0, 1}, rad_from_deg(90));
  Bench bench;
  bench.camera = camera;
  RandomEngine random = derived_engine(1, "joint/readout");
  std::normal_distribution<double> noise(0, kNoise_px);
  Session session =
      filmed(Launcher{}, camera, 30, 60, 0, "joint/readout feeds", 0);
  double down_px = 0;
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    FoundFeed& feed = session.found[i];
    down_px = feed.sightings.back().centre_px.y() -
              feed.sightings.front().centre_px.y();
    for (Sighting& s : feed.sightings) {
      s.t_s -= s.centre_px.y() / camera.height_px * kReadout_s;
      s.centre_px += Eigen::Vector2d(noise(random), noise(random));
      s.sigma_px = kNoise_px;
    }
    feed.fit = refine_flight(
        feed.sightings, camera, FlightOptions{}, session.truth[i]);
  }
  CHECK(std::abs(down_px) > 400);
  const JointAdjustment joint =
      adjust_jointly(session.found, bench, FlightOptions{}, {});
  REQUIRE(joint.done);
  const double sd_s =
      std::sqrt(joint.covariance(kSessionReadout, kSessionReadout));
  MESSAGE("readout found, ms: ",
          1e3 * joint.after[kSessionReadout],
          " +- ",
          1e3 * sd_s);
  CHECK(std::abs(joint.after[kSessionReadout] - kReadout_s) < 2 * sd_s);
  CHECK(sd_s < JointOptions{}.readout_s.sd);  // the feeds tell something
}

// 20 feeds of a global shutter. What is not known of the rows' times moves all
// bounces alike; what is stated does not.
TEST_CASE("a global shutter that is stated is not looked for") {
  const CameraModel camera = camera_at(30);
  const Session session = filmed({}, camera, 20, 60, 0.2, "joint/shutter", 0);
  Bench bench;
  bench.camera = camera;
  const auto looked_for = [](const SessionFit& fit) {
    return std::any_of(
        fit.shared.begin(), fit.shared.end(), [](const SharedQuantity& one) {
          return one.name == "readout, change";
        });
  };
  const auto late_ms = [&](const SessionFit& fit) {
    REQUIRE(fit.feeds.size() == 20);
    double sum = 0;
    for (std::size_t i = 0; i < 20; ++i) {
      sum += fit.feeds[i].t_bounce_s - session.truth[i][kTimeOfBounce];
    }
    return 1e3 * sum / 20;
  };
  bench.camera.readout_s = 0;
  const SessionFit stated =
      fit_session(session.found, bench, FlightOptions{}, {});
  CHECK(std::abs(late_ms(stated)) < 0.3);
  CHECK_FALSE(looked_for(stated));
  bench.camera.readout_s.reset();
  const SessionFit unknown =
      fit_session(session.found, bench, FlightOptions{}, {});
  CHECK(looked_for(unknown));
  const double sd_ms = 1e3 * unknown.common.st_bounce_s;
  CHECK(sd_ms > 1);
  CHECK(std::abs(late_ms(unknown)) < 3 * sd_ms);
  MESSAGE("bounces late by ms: ",
          late_ms(stated),
          " stated, ",
          late_ms(unknown),
          " not known");
}

TEST_CASE("a camera that stands a little off is found by gravity") {
  const CameraModel camera = camera_at(30);
  const Session session = filmed({}, camera, 20, 120, 0.1, "joint/camera", 0);
  Bench bench;
  bench.covariance(0, 0) = 100;          // focal length 10 px
  bench.covariance(8, 8) = 0.03 * 0.03;  // distance 30 mm
  bench.covariance(0, 8) = bench.covariance(8, 0) = 0.999 * 10 * 0.03;
  Eigen::Matrix<double, kCameraParameters, 1> off;
  off.setZero();
  off[0] = 10;
  off[8] = 0.03;
  bench.camera = moved_camera(camera, off);
  bench.camera.readout_s = 0;
  JointOptions exact;  // these feeds have no errors in common
  exact.common_error_px = 0;
  exact.common_error_share = 0;
  const JointAdjustment joint =
      adjust_jointly(session.found, bench, FlightOptions{}, exact);
  REQUIRE(joint.done);
  const double sd = std::sqrt(joint.covariance(kSessionCamera, kSessionCamera));
  CHECK(sd < 9);  // 10 before
  CHECK(std::abs(joint.after[kSessionCamera] + 10) < 3 * sd);
}

TEST_CASE("neighbouring errors that go together are counted as fewer") {
  const CameraModel camera = camera_at(30);
  Session session = filmed({}, camera, 10, 120, 0, "joint/neighbours", 0);
  for (std::size_t i = 0; i < session.found.size(); ++i) {
    RandomEngine random = derived_engine(2, "joint/neighbours", int(i));
    std::normal_distribution<double> normal(0, 0.2);
    Eigen::Vector2d held(normal(random), normal(random));
    int count = 0;
    for (Sighting& s : session.found[i].sightings) {
      if (count++ % 4 == 0) held = {normal(random), normal(random)};
      s.centre_px += held;
      s.sigma_px = 0.2;
    }
  }
  Bench bench;
  bench.camera = camera;
  const JointAdjustment joint =
      adjust_jointly(session.found, bench, FlightOptions{}, {});
  REQUIRE(joint.done);
  // Held for 4: 1 + 2 (3/4 + 2/4 + 1/4) = 4, less what the flights take up.
  CHECK(joint.sightings_per_error > 2.5);
  CHECK(joint.sightings_per_error < 5.0);
  const Session white = filmed({}, camera, 10, 120, 0.2, "joint/white", 0);
  const JointAdjustment plain =
      adjust_jointly(white.found, bench, FlightOptions{}, {});
  CHECK(plain.sightings_per_error < 1.3);
  CHECK(plain.scatter == doctest::Approx(1).epsilon(0.1));
}

// Thrown up and down by 2 degrees from x = -1.2 m, first seen 0.3 m further on:
// there they are 9 mm high or low, as their elevation says, and no tighter
// bundle is to be had by bending all flights alike.
TEST_CASE("feeds come from one point, which may lie behind the first of them") {
  const CameraModel camera = camera_at(30);
  const Bench bench = known_bench(camera);
  Launcher waving;
  waving.spread = 5;
  waving.balls = 0.2;
  constexpr int kSessions = 6;
  double off2 = 0;
  for (int run = 0; run < kSessions; ++run) {
    const Session session =
        filmed(waving, camera, 20, 120, 0.1, "joint/mouth", run);
    FlightOptions options;
    options.launch_height = LaunchHeight{-0.9, {0.4, 0.005}};
    const JointAdjustment joint =
        adjust_jointly(session.found, bench, options, {});
    REQUIRE(joint.done);
    const double sd_m =
        std::sqrt(joint.covariance(kSessionLaunchPlace, kSessionLaunchPlace));
    const double off_m = joint.after[kSessionLaunchPlace] + 0.3;
    CHECK(sd_m < 0.10);
    CHECK(std::abs(off_m) < 4 * sd_m);
    off2 += off_m * off_m / (sd_m * sd_m);
  }
  CHECK(std::sqrt(off2 / kSessions) < 1.8);
}
