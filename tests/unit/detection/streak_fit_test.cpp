// SPDX-License-Identifier: MIT
// The search of one ball in one patch: where it may begin, and when it ends.
#include "detection/streak_fit.h"

#include "unit/detection/painted_ball.h"

#include <doctest/doctest.h>
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

constexpr double kTable = 60;
constexpr double kNoise = 3;

// A patch with `ball` before an even table.
StreakPatch patch_with(const PaintedBall& ball,
                       int width,
                       int height,
                       double noise = kNoise,
                       int seed = 0) {
  StreakPatch patch;
  patch.expected = cv::Mat(height, width, CV_32FC1, cv::Scalar(kTable));
  cv::Mat light = patch.expected.clone();
  paint(light, ball);
  RandomEngine random = derived_engine(5, "streak fit", seed);
  developed(light, noise, random).convertTo(patch.seen, CV_32FC1);
  patch.sigma = cv::Mat(height, width, CV_32FC1, cv::Scalar(noise));
  return patch;
}

Streak near(const PaintedBall& ball) {
  Streak start;
  start.centre_px = ball.centre_px + Eigen::Vector2d(1, -0.8);
  start.half_px = 0.4 * ball.streak_px;
  start.radius_px = ball.radius_px;
  return start;
}

}  // namespace

TEST_CASE("a search that begins at a like patch's fit ends there, and soon") {
  PaintedBall ball;
  ball.centre_px = {30.3, 19.6};
  ball.streak_px = {9, 3};
  ball.ambient = 0.5;
  ball.light = Eigen::Vector3d(0.3, -0.5, 1).normalized();
  const StreakPatch patch = patch_with(ball, 60, 40);
  const StreakFit cold = fit_streak(patch, near(ball), ball.brightness, {});
  REQUIRE(cold.converged);
  CHECK((cold.streak.centre_px - ball.centre_px).norm() < 0.25);
  const StreakFit warm =
      fit_streak(patch, near(ball), ball.brightness, {}, {}, cold.streak);
  REQUIRE(warm.converged);
  CHECK((warm.streak.centre_px - cold.streak.centre_px).norm() < 0.01);
  CHECK(warm.cost < cold.cost + 0.3);
  CHECK(2 * warm.iterations < cold.iterations);
}

// Somebody's arm: what stays longer than any ball flies is no ball, and a
// search through so large a patch costs more than a ball's.
TEST_CASE(
    "a search that stays longer than a ball flies is not led to its end") {
  PaintedBall arm;
  arm.centre_px = {80, 40};
  arm.streak_px = {100, 30};
  arm.brightness = 150;
  StreakPatch patch = patch_with(arm, 160, 80);
  patch.seen(cv::Rect(60, 20, 25, 25)) = cv::Scalar(200);
  StreakFitOptions options;
  const StreakFit all =
      fit_streak(patch, near(arm), arm.brightness, {}, options);
  options.longest_px = 40;
  const StreakFit few =
      fit_streak(patch, near(arm), arm.brightness, {}, options);
  REQUIRE(few.converged);
  CHECK(2 * few.streak.half_px.norm() > options.longest_px);
  CHECK(few.iterations <= 5);
  CHECK(few.iterations < all.iterations);
  // A ball whose first guess was as long still becomes as short as it is.
  PaintedBall ball;
  ball.centre_px = {80, 40};
  ball.streak_px = {9, 3};
  Streak start = near(ball);
  start.half_px = {25, 8};
  options.longest_px = 20;
  const StreakFit one = fit_streak(
      patch_with(ball, 160, 80), start, ball.brightness, {}, options);
  REQUIRE(one.converged);
  CHECK(2 * one.streak.half_px.norm() < 12);
}

// As hard compression leaves balls in a noisy film: smeared by some pixels, and
// more residual than the noise that is known. One in twelve well lit balls was
// lost there.
TEST_CASE("a search for a smeared ball in noise comes to its end") {
  int ended = 0;
  for (int i = 0; i < 60; ++i) {
    PaintedBall ball;
    ball.centre_px = {20 + 0.017 * i, 16 - 0.011 * i};
    ball.streak_px = {6.5, 1.5};
    ball.radius_px = 9.8;
    ball.ambient = 0.5;
    ball.light = Eigen::Vector3d(0.3, -0.5, 1).normalized();
    StreakPatch patch = patch_with(ball, 40, 32, 12, i);
    cv::GaussianBlur(patch.seen, patch.seen, {}, 2.5);
    patch.sigma = cv::Scalar(4);
    const StreakFit fit = fit_streak(patch, near(ball), ball.brightness, {});
    ended +=
        fit.converged && (fit.streak.centre_px - ball.centre_px).norm() < 1;
  }
  CHECK(ended == 60);
}
