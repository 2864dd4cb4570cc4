// SPDX-License-Identifier: MIT
#include "calibration/flight_direction.h"

#include "calibration/plane_camera.h"
#include "support/calibration_profile.h"

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
  const Surface surface =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
          .surface;
  CameraModel camera = plain_camera(640, 360, 430);
  camera.camera_from_table = look_at({0.2, -0.3, 2.4}, {0, 0, 0}, {0, 1, 0}, 0);
  const cv::Mat background(360, 640, CV_8U, cv::Scalar(70));
  FlightDirection flight(background, camera, surface);
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

std::optional<double> watched(const std::vector<Flying>& balls) {
  return flown(balls).along_x();
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
