// SPDX-License-Identifier: MIT
// One ball in one patch: has it a shadow beside it, and does that help?
#include "detection/cast_shadow.h"

#include "unit/detection/painted_ball.h"

#include <optional>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kTable = 100;  // light
constexpr double kNoise = 3;

struct Painted {
  PaintedBall ball;
  StreakPatch lit;
  StreakFit first;  // against the surface in full light
  RandomEngine random = derived_engine(3, "cast shadow", 0);

  // `left` of the light in a round shadow as large as the ball, `off_px` below
  // it. What is stated of a pixel's noise is `stated` of what it has.
  Painted(double radius_px, double left, double off_px, double stated = 1) {
    const int size = static_cast<int>(3 * radius_px) + 8;
    ball.centre_px = {size / 2.0 + 0.3, size / 2.0 - 0.4};
    ball.radius_px = radius_px;
    ball.streak_px = {radius_px, 0};
    ball.ambient = 0.6;
    ball.light = Eigen::Vector3d(0, -1, 1).normalized();
    cv::Mat light(size, size, CV_32FC1, cv::Scalar(kTable));
    lit.expected = light.clone();
    const Eigen::Vector2d shadow_px =
        ball.centre_px + Eigen::Vector2d(0, off_px);
    for (int v = 0; v < size; ++v) {
      for (int u = 0; u < size; ++u) {
        const bool dark =
            (Eigen::Vector2d(u, v) - shadow_px).norm() < radius_px;
        if (dark) light.at<float>(v, u) *= static_cast<float>(left);
      }
    }
    paint(light, ball);
    developed(light, kNoise, random).convertTo(lit.seen, CV_32FC1);
    lit.sigma = cv::Mat(size, size, CV_32FC1, cv::Scalar(stated * kNoise));
    first = fit_streak(lit, start(), ball.brightness, {}, {});
  }

  Streak start() const {
    Streak start;
    start.centre_px = ball.centre_px + Eigen::Vector2d(0.4, 0.3);
    start.half_px = 0.4 * ball.streak_px;
    start.radius_px = ball.radius_px;
    return start;
  }
  std::optional<StreakFit> beside_shadow(const StreakFit& fit) const {
    return fit_beside_shadow(fit, lit, ball.radius_px, ball.brightness, {}, {});
  }
  double off_px(const StreakFit& fit) const {
    return (fit.streak.centre_px - ball.centre_px).norm();
  }
};

}  // namespace

TEST_CASE("the rim of a hidden shadow draws a ball, and the fit tells of it") {
  const Painted one(8, 0.9, 4.8);
  CHECK(one.off_px(one.first) > 0.3);
  const auto beside = one.beside_shadow(one.first);
  REQUIRE(beside);
  CHECK(beside->cost < one.first.cost);
  CHECK(one.off_px(*beside) < 0.1);  // 0.12 if noise above 1 were cut off
}

// A background that repeats the noise would always fit better.
TEST_CASE("no shadow is made of noise, however little of it is stated") {
  for (const double stated : {1.0, 0.5}) {
    CAPTURE(stated);
    const Painted one(8, 1, 0, stated);
    REQUIRE(one.first.converged);
    CHECK_FALSE(one.beside_shadow(one.first));
  }
}

TEST_CASE("a small ball has only the shadow that is plainly seen") {
  const Painted thin(3, 0.9, 3.9);
  REQUIRE(thin.first.converged);
  CHECK_FALSE(thin.beside_shadow(thin.first));

  const Painted plain(3.5, 0.7, 5.6);
  CHECK(plain.off_px(plain.first) > 0.5);
  const auto beside = plain.beside_shadow(plain.first);
  REQUIRE(beside);
  CHECK(plain.off_px(*beside) < 0.15);
  // What so few pixels say of it is noise: it is taken as it is seen.
  const auto again = plain.beside_shadow(*beside);
  REQUIRE(again);
  CHECK(again->cost > beside->cost);
  CHECK(plain.off_px(*again) < 0.15);
}
