// SPDX-License-Identifier: MIT
#include "calibration/sway_meter.h"

#include "base/random.h"

#include <cmath>
#include <numbers>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kNoise_px = 0.1;
const Eigen::Vector2d kHeld_px(640, 360);

// Sixty looks, half a second apart, at a picture that lies where at(t) says.
template <typename At>
CameraSway seen(const At& at, int looks = 60) {
  RandomEngine random = derived_engine(3, "looks at a camera", 0);
  std::normal_distribution<double> noise(0, kNoise_px);
  SwayMeter meter;
  for (int i = 0; i < looks; ++i) {
    const double t_s = 0.5 * i;
    const Eigen::Vector2d error_px(noise(random), noise(random));
    meter.add(t_s,
              kHeld_px + at(t_s) + error_px,
              kHeld_px,
              std::numbers::sqrt2 * kNoise_px);
  }
  return meter.sway();
}

Eigen::Vector2d sine(double t_s, double amplitude_px, double hz) {
  return {amplitude_px * std::sin(2 * std::numbers::pi * hz * t_s), 0};
}

}  // namespace

TEST_CASE("a camera that stands still does not sway by the noise of looks") {
  const CameraSway still =
      seen([](double) { return Eigen::Vector2d(Eigen::Vector2d::Zero()); });
  CHECK(still.shift_px == 0);
  CHECK(still.drift_px_s == 0);
}

TEST_CASE("a slow sway is measured, how far and how fast") {
  // Along one axis of two: a sine's sd of A / root 2 there, half A per axis.
  const CameraSway sway = seen([](double t_s) { return sine(t_s, 3, 0.23); });
  CHECK(sway.shift_px == doctest::Approx(1.5).epsilon(0.1));
  const double speed_px_s = 2 * std::numbers::pi * 0.23 * 1.5;
  CHECK(sway.drift_px_s == doctest::Approx(speed_px_s).epsilon(0.15));
}

TEST_CASE("one knock that was followed late is no sway") {
  RandomEngine random = derived_engine(4, "looks at a camera", 0);
  std::normal_distribution<double> noise(0, kNoise_px);
  SwayMeter meter;
  for (int i = 0; i < 60; ++i) {
    const Eigen::Vector2d seen_px =
        kHeld_px + Eigen::Vector2d(i < 30 ? 0 : 12, 0);
    const Eigen::Vector2d held_px =
        kHeld_px + Eigen::Vector2d(i < 31 ? 0 : 12, 0);
    meter.add(0.5 * i,
              seen_px + Eigen::Vector2d(noise(random), noise(random)),
              held_px,
              std::numbers::sqrt2 * kNoise_px);
  }
  CHECK(meter.sway().shift_px == 0);
}

TEST_CASE("too few looks tell no sway") {
  CHECK(seen([](double t_s) { return sine(t_s, 3, 0.23); }, 5).shift_px == 0);
  CHECK(SwayMeter{}.sway().shift_px == 0);
}
