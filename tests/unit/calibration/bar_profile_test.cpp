// SPDX-License-Identifier: MIT
#include "calibration/bar_profile.h"

#include "base/random.h"

#include <cmath>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kStep = 0.5;

std::vector<double> bar(double low,
                        double high,
                        double blur,
                        double left,
                        double level,
                        double right,
                        double noise) {
  auto engine = derived_engine(5, "bar", static_cast<std::uint64_t>(low * 1e6));
  std::normal_distribution<double> error(0, noise);
  std::vector<double> grey;
  for (int i = -60; i <= 60; ++i) {
    const double s = i * kStep;
    const auto step = [&](double at) {
      return 0.5 * std::erfc(-(s - at) / blur / std::sqrt(2.0));
    };
    grey.push_back(left + (level - left) * step(low) +
                   (right - level) * step(high) +
                   (noise > 0 ? error(engine) : 0));
  }
  return grey;
}

}  // namespace

TEST_CASE("both edges of a wide bar come back to a hundredth of a pixel") {
  int run = 0;
  for (double shift = -3; shift <= 3; shift += 0.37) {
    const auto grey = bar(shift - 3.1, shift + 3.6, 0.8, 100, 200, 60, 0);
    const BarProfile coarse = coarse_bar(grey, kStep, 6.7, 5);
    REQUIRE(coarse.found);
    const BarProfile fit = fit_bar(grey, kStep, coarse, 1.1);
    REQUIRE(fit.found);
    CHECK(std::abs(fit.low_px - (shift - 3.1)) < 0.01);
    CHECK(std::abs(fit.high_px - (shift + 3.6)) < 0.01);
    CHECK(std::abs(fit.blur_px - 0.8) < 0.01);
    ++run;
  }
  CHECK(run == 17);
}

TEST_CASE("the middle of a narrow bar comes back though its width is given") {
  for (const double at : {-1.7, 0.0, 0.31, 2.45}) {
    const auto grey = bar(at - 0.6, at + 0.6, 0.8, 60, 200, 60, 0.5);
    const BarProfile coarse = coarse_bar(grey, kStep, 1.2, 5);
    const BarProfile fit = fit_bar(grey, kStep, coarse, 0.9);
    REQUIRE(fit.found);
    CHECK(std::abs(fit.middle_px() - at) < 0.05);
    CHECK(fit.high_px - fit.low_px == doctest::Approx(1.2));
  }
}

TEST_CASE("a plain grey has no contrast, a dark bar a negative one") {
  CHECK(std::abs(coarse_bar(std::vector<double>(121, 90.0), kStep, 6, 5)
                     .contrast()) < 1e-9);
  const auto dark = bar(-3, 3, 0.8, 200, 60, 200, 0);
  CHECK(coarse_bar(dark, kStep, 6, 2).contrast() < 0);
  CHECK_FALSE(coarse_bar(std::vector<double>(5, 90.0), kStep, 6, 5).found);
}
