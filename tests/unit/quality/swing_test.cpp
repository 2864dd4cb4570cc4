// SPDX-License-Identifier: MIT
#include "quality/swing.h"

#include "base/nan.h"
#include "base/random.h"

#include <cmath>
#include <numbers>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<double> noise(int feeds, double memory, std::uint64_t index) {
  RandomEngine engine = derived_engine(126, "swing", index);
  std::normal_distribution<double> normal;
  std::vector<double> values;
  double before = normal(engine);
  for (int i = 0; i < feeds; ++i) {
    before = memory * before + std::sqrt(1 - memory * memory) * normal(engine);
    values.push_back(before);
  }
  return values;
}

int certain(double memory, int runs, double significance) {
  int count = 0;
  for (int k = 0; k < runs; ++k) {
    const auto index = static_cast<std::uint64_t>(k);
    count += find_swing(noise(60, memory, index), 1, significance).certain;
  }
  return count;
}

}  // namespace

TEST_CASE("swing: a sine comes back, values missing and all") {
  std::vector<double> values = noise(100, 0, 1000);
  for (int i = 0; i < 100; ++i) {
    double& value = values[static_cast<std::size_t>(i)];
    value +=
        700 + 0.05 * i + 2 * std::sin(2 * std::numbers::pi * (i / 40.0 + 0.3));
    if (i % 9 == 4) value = kNaN;
  }
  const Swing found = find_swing(values, 1, 1e-3);
  CHECK(found.certain);
  CHECK(found.period == doctest::Approx(40).epsilon(0.1));
  CHECK(found.amplitude == doctest::Approx(2).epsilon(0.2));
  // Without noise it is exact, at a frequency that is tried.
  for (int i = 0; i < 100; ++i) {
    values[static_cast<std::size_t>(i)] =
        3 + 2 * std::cos(2 * std::numbers::pi * i / 25.0);
  }
  const Swing exact = find_swing(values, 1, 1e-6);
  CHECK(exact.period == doctest::Approx(25));
  CHECK(exact.amplitude == doctest::Approx(2).epsilon(0.01));
  // Four periods are fewer than five.
  CHECK(find_swing(values, 5, 1e-6).period < 25);
}

TEST_CASE("swing: chance and memory make few") {
  constexpr int kRuns = 400;
  // 5 % at most, and 3.3 standard errors of a share of 400.
  CHECK(certain(0, kRuns, 0.05) <= 0.05 * kRuns + 15);
  CHECK(certain(0, kRuns, 0.9) > 0);
  // Memory that looks like a sine is taken for one at times: 12 % measured.
  CHECK(certain(0.6, kRuns, 0.05) <= 0.18 * kRuns);
}

TEST_CASE("swing: nothing to find") {
  CHECK_FALSE(find_swing({}, 1, 0.05).certain);
  CHECK_FALSE(find_swing(std::vector<double>(100, kNaN), 1, 0.05).certain);
  CHECK_FALSE(find_swing(std::vector<double>(100, 5.0), 1, 0.05).certain);
  CHECK_FALSE(find_swing(noise(15, 0, 1), 1, 0.999).certain);
}
