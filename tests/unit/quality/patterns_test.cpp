// SPDX-License-Identifier: MIT
#include "quality/patterns.h"

#include "base/random.h"

#include <cmath>
#include <limits>
#include <random>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<double> pattern_noise(int feeds, double sd, std::uint64_t index) {
  RandomEngine engine = derived_engine(127, "patterns", index);
  std::normal_distribution<double> normal(700, sd);
  std::vector<double> values;
  for (int i = 0; i < feeds; ++i) values.push_back(normal(engine));
  return values;
}

std::vector<double> alternating(double by, double drift) {
  std::vector<double> values = pattern_noise(60, 1, 1);
  for (std::size_t i = 0; i < values.size(); ++i) {
    values[i] += drift * static_cast<double>(i) + (i % 2 == 1 ? by : 0);
  }
  return values;
}

}  // namespace

TEST_CASE("patterns: every second feed differs") {
  const Alternation found = find_alternation(alternating(4, 0), 0.01);
  CHECK(found.certain);
  CHECK(found.difference == doctest::Approx(4).epsilon(0.2));
  const Alternation moving = find_alternation(alternating(-4, 0.3), 0.01);
  CHECK(moving.certain);
  CHECK(moving.difference == doctest::Approx(-4).epsilon(0.2));
  // No chance, but less than the scatter of either side.
  std::vector<double> many = pattern_noise(2000, 1, 2);
  for (std::size_t i = 1; i < many.size(); i += 2) many[i] += 0.5;
  CHECK_FALSE(find_alternation(many, 0.01).certain);
  std::vector<double> few = alternating(9, 0);
  few.resize(15);
  CHECK_FALSE(find_alternation(few, 0.01).certain);
  // One standard error where there are so few, not chance in 1000.
  int chance = 0;
  for (std::uint64_t k = 0; k < 300; ++k) {
    chance += find_alternation(pattern_noise(16, 1, 100 + k), 0.01).certain;
  }
  CHECK(chance <= 9);
}

TEST_CASE("patterns: the spread has become smaller") {
  const SmallerSpread found =
      find_smaller_spread(2, 24, pattern_noise(60, 1, 3), 0.01);
  CHECK(found.certain);
  CHECK(found.now == doctest::Approx(1).epsilon(0.25));
  CHECK_FALSE(
      find_smaller_spread(1, 24, pattern_noise(60, 1, 3), 0.01).certain);
  CHECK_FALSE(
      find_smaller_spread(1, 24, pattern_noise(60, 2, 3), 0.01).certain);
  // Significant, but by less than a quarter.
  CHECK_FALSE(
      find_smaller_spread(1.15, 4000, pattern_noise(4000, 1, 4), 0.01).certain);
  CHECK_FALSE(
      find_smaller_spread(9, 24, pattern_noise(19, 1, 3), 0.01).certain);
  CHECK_FALSE(
      find_smaller_spread(9, 24, std::vector<double>(30, 5.0), 0.01).certain);
  // A baseline of two feeds knows no spread.
  CHECK_FALSE(find_smaller_spread(2, 1, pattern_noise(60, 1, 3), 0.01).certain);
}
