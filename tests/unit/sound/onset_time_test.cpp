// SPDX-License-Identifier: MIT
#include "sound/onset_time.h"

#include "base/random.h"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<double> step_of_variance(std::size_t at,
                                     std::size_t length,
                                     double ratio,
                                     std::uint64_t index) {
  RandomEngine engine = derived_engine(1, "onset", index);
  std::normal_distribution<double> normal;
  std::vector<double> samples;
  for (std::size_t i = 0; i < length; ++i) {
    samples.push_back(normal(engine) * (i < at ? 1 : ratio));
  }
  return samples;
}

}  // namespace

TEST_CASE("the onset is where the variance changes, and as sure as it says") {
  for (const double ratio : {2.0, 4.0, 10.0}) {
    CAPTURE(ratio);
    constexpr int kTrials = 500;
    double errors = 0;
    double squares = 0;
    double stated = 0;
    for (int i = 0; i < kTrials; ++i) {
      const std::size_t at = 100 + i % 50;
      const Onset onset = onset_in(
          step_of_variance(at, 240, ratio, static_cast<std::uint64_t>(i)), 1);
      REQUIRE(onset.found);
      const double error = onset.place - static_cast<double>(at);
      errors += error;
      squares += error * error;
      stated += onset.sigma * onset.sigma;
    }
    CHECK(std::abs(errors / kTrials) < 2.0);
    CHECK(std::sqrt(squares / stated) > 0.8);
    CHECK(std::sqrt(squares / stated) < 1.25);
  }
}

TEST_CASE("what repeats itself counts for less") {
  const auto samples = step_of_variance(100, 200, 3, 7);
  CHECK(onset_in(samples, 0.5).sigma > onset_in(samples, 1).sigma);
}

TEST_CASE("silence and a handful of samples have no onset") {
  CHECK_FALSE(onset_in(std::vector<double>(100, 0.0), 1).found);
  CHECK_FALSE(onset_in(std::vector<double>(7, 1.0), 1).found);
  // Digital silence, then a sound.
  std::vector<double> sudden(60, 0.0);
  for (std::size_t i = 40; i < sudden.size(); ++i) {
    sudden[i] = i % 2 == 0 ? 0.5 : -0.4;
  }
  const Onset onset = onset_in(sudden, 0.5);
  REQUIRE(onset.found);
  CHECK(onset.place == doctest::Approx(40).epsilon(0.02));
}
