// SPDX-License-Identifier: MIT
#include "geometry/halting_balls.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// A ball that flies by 20 a picture, one that lies, and one that rolls on
// slowly.
HaltingBalls seen(int times_each, bool blended) {
  HaltingBalls halting(1.5);
  for (int i = 0; i < 60; ++i) {
    const int of_it = i / times_each;
    std::vector<Eigen::Vector2d> places{
        {20. * of_it, 40}, {300, 200}, {100 + 0.6 * i, 300}};
    if (blended) places.emplace_back(20. * (of_it + 1), 40);
    halting.add(places, i / 60.0);
  }
  return halting;
}

// Of every six pictures the last repeats the one before: of five that were
// taken, or of six of which one was lost.
HaltingBalls sixth_doubled(bool lost) {
  HaltingBalls halting(1.5);
  for (int i = 0; i < 180; ++i) {
    const int taken = i - (i % 6 == 5);
    const int of_it = lost ? taken : taken - i / 6;
    halting.add({{7. * of_it, 40 + 0.02 * of_it * of_it},
                 {300, 200},
                 {100 + 0.6 * i, 300}},
                i / 24.0);
  }
  return halting;
}

}  // namespace

TEST_CASE("balls that were filmed as they flew do not halt") {
  CHECK_FALSE(HaltingBalls(1.5).many());
  CHECK_FALSE(seen(1, false).many());
}

TEST_CASE("of doubled and blended pictures they halt and leap") {
  CHECK(seen(2, false).many());
  CHECK(seen(3, false).many());
  CHECK(seen(1, true).many());
  CHECK(seen(2, true).many());
}

TEST_CASE("of fewer pictures than are shown none has its own time") {
  CHECK(sixth_doubled(false).mistimed());
  CHECK_FALSE(sixth_doubled(false).many());
  CHECK_FALSE(sixth_doubled(true).mistimed());  // the others are on time
  CHECK_FALSE(seen(1, false).mistimed());
  CHECK_FALSE(seen(2, false).mistimed());  // each alike
  CHECK_FALSE(HaltingBalls(1.5).mistimed());
}

TEST_CASE("a ball that hits a wall is at one place twice, and does not halt") {
  HaltingBalls halting(1.5);
  for (int i = 0; i < 400; ++i) {
    const double off = std::abs(i % 20 - 9.5);  // 0.5 before and after it
    halting.add({{200 - 25 * off, 40 + 0.1 * (i % 20)}}, i / 25.0);
  }
  CHECK_FALSE(halting.mistimed());
}

TEST_CASE("what creeps does not halt") {
  HaltingBalls halting(1.5);
  for (int i = 0; i < 400; ++i) {
    halting.add({{1.5 * i + 0.4 * std::sin(2 * i), 40}}, i / 24.0);
  }
  CHECK_FALSE(halting.mistimed());
}

TEST_CASE("what stays for longer lies there") {
  CHECK_FALSE(seen(6, false).many());
  HaltingBalls picked_up(1.5);  // one by one
  for (int i = 0; i < 200; ++i) {
    picked_up.add({{30. * (i / 10), 40}}, i / 60.0);
  }
  CHECK_FALSE(picked_up.many());
}

TEST_CASE("a picture full of specks says nothing") {
  HaltingBalls halting(1.5);
  for (int i = 0; i < 60; ++i) {
    std::vector<Eigen::Vector2d> places;
    for (int k = 0; k < 60; ++k) places.emplace_back(10. * k, 7. * (i / 2));
    halting.add(places, i / 60.0);
  }
  CHECK_FALSE(halting.many());
}
