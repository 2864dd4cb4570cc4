// SPDX-License-Identifier: MIT
#include "geometry/halting_balls.h"

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
    halting.add(places);
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

TEST_CASE("what stays for longer lies there") {
  CHECK_FALSE(seen(6, false).many());
}

TEST_CASE("a picture full of specks says nothing") {
  HaltingBalls halting(1.5);
  for (int i = 0; i < 60; ++i) {
    std::vector<Eigen::Vector2d> places;
    for (int k = 0; k < 60; ++k) places.emplace_back(10. * k, 7. * (i / 2));
    halting.add(places);
  }
  CHECK_FALSE(halting.many());
}
