// SPDX-License-Identifier: MIT
#include "hearing/clock_jump.h"

#include "base/random.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Seen to 1 ms, with a line through them and a step of `by_s` at 31 s.
std::vector<LeftOfClock> left(int feeds, double by_s, std::uint64_t seed) {
  RandomEngine engine = derived_engine(seed, "jump");
  std::normal_distribution<double> normal;
  std::vector<LeftOfClock> all;
  for (int i = 0; i < feeds; ++i) {
    const double t_s = 1.25 * i;
    all.push_back(
        {t_s,
         2e-3 + 4e-5 * t_s + (t_s > 31 ? by_s : 0) + 1e-3 * normal(engine),
         1e-3});
  }
  return all;
}

}  // namespace

TEST_CASE("a step is found, its time and size told") {
  const ClockJump jump = likeliest_jump(left(50, -6e-3, 1));
  CHECK(jump.gain > 50);
  CHECK(jump.t_s == doctest::Approx(31).epsilon(0.1));
  CHECK(jump.by_s == doctest::Approx(-6e-3).epsilon(0.25));
}

TEST_CASE("a clock that runs straight has none") {
  double most = 0;
  int beyond_10 = 0;
  for (std::uint64_t seed = 1; seed <= 1000; ++seed) {
    const double gain = likeliest_jump(left(50, 0, seed)).gain;
    most = std::max(most, gain);
    beyond_10 += gain > 10;
  }
  MESSAGE("most of 1000 without a step: " << most << ", over 10 " << beyond_10);
  CHECK(most < 25);
  CHECK(beyond_10 > 0);  // noise does make steps
}

TEST_CASE("residuals that scatter by more than they say are no step") {
  std::vector<LeftOfClock> wild = left(50, 0, 7);
  for (LeftOfClock& one : wild) one.sigma_s = 2e-4;
  CHECK(likeliest_jump(wild).gain < 25);
}

TEST_CASE("too few to tell") {
  CHECK(likeliest_jump({}).gain == 0);
  CHECK(likeliest_jump(left(5, 1, 1)).gain == 0);
  const std::vector<LeftOfClock> at_once(10, {1, 0, 1e-3});
  CHECK(likeliest_jump(at_once).gain == 0);
}
