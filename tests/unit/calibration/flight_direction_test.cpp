// SPDX-License-Identifier: MIT
#include "calibration/flight_direction.h"

#include "base/random.h"
#include "base/units.h"
#include "calibration/plane_camera.h"
#include "unit/calibration/small_view.h"

#include <functional>

#include <doctest/doctest.h>
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

struct Flying {
  double start_s, from_x_m, velocity_mps, y_m;
};

// The times of pictures, in sixtieths of a second: of what they show, and of
// when they are shown.
struct Shown {
  double taken, at;
};

// Frames of a plain picture with discs that move along x at z = 0.
FlightDirection flown(
    const std::vector<Flying>& balls,
    int frames = 150,
    Shown (*shown)(int) = [](int i) -> Shown {
      return {1. * i, 1. * i};
    }) {
  CameraModel camera = plain_camera(640, 360, 430);
  camera.camera_from_table = look_at({0.2, -0.3, 2.4}, {0, 0, 0}, {0, 1, 0}, 0);
  const cv::Mat background(360, 640, CV_8U, cv::Scalar(70));
  FlightDirection flight(background, camera, table_tennis_surface());
  for (int i = 0; i < frames; ++i) {
    const double t = shown(i).taken / 60;
    // Mains flicker: the whole picture, a tenth up and down.
    cv::Mat frame = background * (1 + 0.1 * std::sin(i * 2.1));
    for (const Flying& ball : balls) {
      const double x = ball.from_x_m + ball.velocity_mps * (t - ball.start_s);
      if (t < ball.start_s || std::abs(x) > 1.5) continue;
      const auto p = camera.project({x, ball.y_m, 0});
      cv::circle(frame,
                 cv::Point2d(p->x(), p->y()),
                 4,
                 cv::Scalar(190),
                 -1,
                 cv::LINE_AA);
    }
    flight.add(frame, shown(i).at / 60);
  }
  return flight;
}

// A feed in space: under gravity and drag, with one bounce on the table, from
// the left end if `direction` is 1.
struct Feed {
  double start_s, speed_mps, up_deg, y_m;
};

struct View {
  Eigen::Vector3d eye_m;
  double roll_rad;
};

Eigen::Vector3d flown_to(const Feed& feed, double direction, double after_s) {
  constexpr double kStep_s = 0.001, kDrag_per_m = 0.13, kRadius_m = 0.02;
  const double up = rad_from_deg(feed.up_deg);
  Eigen::Vector3d at{-1.4, feed.y_m, 0.3};
  Eigen::Vector3d v{feed.speed_mps * std::cos(up),
                    0.05 * feed.speed_mps,
                    feed.speed_mps * std::sin(up)};
  for (double t = 0; t < after_s; t += kStep_s) {
    v += kStep_s *
         (Eigen::Vector3d(0, 0, -kGravity_mps2) - kDrag_per_m * v.norm() * v);
    at += kStep_s * v;
    const bool on_table = std::abs(at.x()) < 1.37 && at.z() < kRadius_m;
    if (on_table && v.z() < 0) v = {0.8 * v.x(), 0.8 * v.y(), -0.9 * v.z()};
  }
  return {direction * at.x(), direction * at.y(), at.z()};
}

std::optional<double> seen_from(const View& view,
                                double direction,
                                const std::vector<Feed>& feeds,
                                double rate_hz) {
  CameraModel camera = plain_camera(640, 360, 430);
  const Eigen::Vector3d up = view.eye_m.head<2>().norm() < 0.5
                                 ? Eigen::Vector3d(0, 1, 0)
                                 : Eigen::Vector3d(0, 0, 1);
  camera.camera_from_table =
      look_at(view.eye_m, {0, 0, 0.1}, up, view.roll_rad);
  const cv::Mat background(360, 640, CV_8U, cv::Scalar(70));
  FlightDirection flight(background, camera, table_tennis_surface());
  for (int i = 0; i < 2.2 * rate_hz; ++i) {
    cv::Mat frame = background.clone();
    for (const Feed& feed : feeds) {
      const double after_s = i / rate_hz - feed.start_s;
      if (after_s < 0 || after_s > 0.7) continue;
      const auto p = camera.project(flown_to(feed, direction, after_s));
      if (!p) continue;
      cv::circle(frame, cv::Point2d(p->x(), p->y()), 3, 190, -1, cv::LINE_AA);
    }
    flight.add(frame, i / rate_hz);
  }
  return flight.along_x();
}

std::optional<double> watched(const std::vector<Flying>& balls) {
  return flown(balls).along_x();
}

// Where a thing is, `t_s` after it appeared.
using Path = std::function<std::optional<Eigen::Vector3d>(double t_s)>;

// Of one thing at a time, a new one each 0.8 s, from the side and above.
std::optional<double> way_of(const Path& path, int specks = 0) {
  constexpr double kRate_hz = 60, kEvery_s = 0.8;
  CameraModel camera = plain_camera(640, 360, 430);
  camera.camera_from_table =
      look_at({0.2, -2.7, 1.4}, {0, 0, 0.1}, {0, 0, 1}, 0);
  const cv::Mat background(360, 640, CV_8U, cv::Scalar(70));
  FlightDirection flight(background, camera, table_tennis_surface());
  RandomEngine random = derived_engine(1, "specks");
  std::uniform_real_distribution<double> u(0, 640), v(0, 360);
  for (int i = 0; i < 4 * kEvery_s * kRate_hz; ++i) {
    cv::Mat frame = background.clone();
    const auto disc = [&](const cv::Point2d& at) {
      cv::circle(frame, at, 3, 190, -1, cv::LINE_AA);
    };
    const auto at_m = path(std::fmod(i / kRate_hz, kEvery_s));
    if (at_m) {
      const auto p = camera.project(*at_m);
      disc({p->x(), p->y()});
    }
    for (int j = 0; j < specks; ++j) {
      disc({u(random), v(random)});
    }
    flight.add(frame, i / kRate_hz);
  }
  return flight.along_x();
}

Path straight(const Eigen::Vector3d& from_m, const Eigen::Vector3d& v_mps) {
  return [=](double t_s) -> std::optional<Eigen::Vector3d> {
    const Eigen::Vector3d at_m = from_m + t_s * v_mps;
    return at_m.head<2>().cwiseAbs().maxCoeff() < 1.5 ? std::optional(at_m)
                                                      : std::nullopt;
  };
}

Path served(const Feed& feed) {
  return [=](double t_s) -> std::optional<Eigen::Vector3d> {
    return t_s < 0.6 ? std::optional(flown_to(feed, 1, t_s)) : std::nullopt;
  };
}

}  // namespace

TEST_CASE("the fast balls say which way, not the slower ones that come back") {
  std::vector<Flying> balls;
  for (int i = 0; i < 3; ++i) {
    balls.push_back({0.1 + 0.8 * i, -1.4, 5.0, 0.1});
    balls.push_back({0.5 + 0.8 * i, 1.4, -3.0, -0.2});
  }
  const auto forth = watched(balls);
  REQUIRE(forth);
  CHECK(*forth == 1);
  for (Flying& ball : balls) {
    ball.from_x_m = -ball.from_x_m;
    ball.velocity_mps = -ball.velocity_mps;
  }
  const auto back = watched(balls);
  REQUIRE(back);
  CHECK(*back == -1);
}

// From the side and low a ball in the air is seen far beside the table, and a
// lob goes up and down more than along. From behind an end, what flies away
// and falls hardly moves: nothing may be said then, never the wrong way.
TEST_CASE("from every side, flat or high") {
  const std::vector<Feed> flat{
      {0.05, 9, 5, 0}, {0.7, 9, 5, 0.3}, {1.35, 9, 5, -0.1}};
  const std::vector<Feed> lobs{
      {0.05, 5, 55, -0.2}, {0.8, 5, 55, 0.1}, {1.55, 5, 55, 0}};
  const std::vector<View> views{{{0.1, 0.2, 3.0}, 0.1},
                                {{0.2, -2.7, 1.4}, 0},
                                {{-0.6, 2.9, 1.9}, 0.07},
                                {{2.2, -2.2, 1.9}, 0},
                                {{-2.6, -2.4, 1.3}, -0.1},
                                {{-3.2, 0.4, 1.8}, 0},
                                {{3.4, 0.2, 1.4}, 0}};
  int decided = 0;
  for (const View& view : views) {
    for (const auto& feeds : {flat, lobs}) {
      for (const double direction : {-1.0, 1.0}) {
        CAPTURE(view.eye_m.transpose());
        CAPTURE(feeds[0].up_deg);
        CAPTURE(direction);
        const auto way = seen_from(view, direction, feeds, 30);
        decided += way ? 1 : 0;
        CHECK(way.value_or(direction) == direction);
        const bool from_an_end =
            std::abs(view.eye_m.y()) < 1 && view.eye_m.z() < 2;
        CHECK((way || from_an_end));
      }
    }
  }
  CHECK(decided >= 23);
  // A lob that comes down towards the lens moves as if it flew away.
  CHECK(seen_from({{4, 0, 1.5}, 0}, 1, lobs, 120).value_or(1) == 1);
  CHECK(seen_from({{-4, 0, 1.5}, 0}, -1, lobs, 120).value_or(-1) == -1);
}

TEST_CASE("what crosses or creeps decides nothing") {
  REQUIRE(way_of(served({0, 6, 8, 0})) == 1);
  CHECK_FALSE(way_of(straight({-0.5, -1, 0.1}, {2.2, 5, 0})));
  CHECK_FALSE(way_of(straight({-1.3, 0.1, 0.1}, {1.4, 0, 0})));
}

TEST_CASE("specks everywhere do not hide which way balls fly") {
  CHECK(way_of(served({0, 6, 8, 0}), 10) == 1);
  CHECK_FALSE(way_of(straight({9, 9, 9}, {0, 0, 0}), 10));
}

TEST_CASE("nothing, or as many one way as the other, decides nothing") {
  CHECK_FALSE(watched({}));
  CHECK_FALSE(watched({{0.1, -1.4, 4.0, 0.1},
                       {0.9, 1.4, -4.0, 0.1},
                       {1.6, -1.4, 4.0, 0.3},
                       {1.7, 1.4, -4.0, -0.3}}));
}

TEST_CASE("why nothing is decided is named") {
  CHECK(flown({}, 1).why_open() ==
        "it is a still picture, which shows no flight");
  CHECK(flown({}, 3).why_open() ==
        "the film has 3 frames, which show no flight");
  CHECK(flown({}).why_open() ==
        "no ball is seen flying over the table in 150 frames (slow motion? say "
        "how slow: --slow 8)");
  CHECK(
      flown({{0.1, -1.4, 6.0, 0.1}}, 18).why_open().find("in 18 frames only") !=
      std::string::npos);
  CHECK(flown({{0.1, -1.4, 4.0, 0.1},
               {0.9, 1.4, -4.0, 0.1},
               {1.6, -1.4, 4.0, 0.3},
               {1.7, 1.4, -4.0, -0.3}})
            .why_open()
            .find("balls are seen flying both ways (so they seem") == 0);
}

TEST_CASE("pictures that were made, not taken, are named") {
  const std::vector<Flying> balls{
      {0.1, -1.4, 5.0, 0.1}, {0.9, -1.4, 5.0, 0.1}, {1.7, -1.4, 5.0, 0.1}};
  CHECK(flown(balls).saved_again().empty());
  CHECK(flown({}).saved_again().empty());
  const auto twice = [](int i) -> Shown { return {1. * (i / 2), 0.5 * i}; };
  CHECK(flown(balls, 300, twice).saved_again().find("at one place in two or") !=
        std::string::npos);
  // Each fifth of those of 50 a second left out of 60: three and two times.
  const auto pulled = [](int i) -> Shown {
    return {2.5 * i, i / 2 * 5. + i % 2 * 3.};
  };
  CHECK(flown(balls, 60, pulled).saved_again().find("33.3 to 50.0 ms apart") !=
        std::string::npos);
}
