// SPDX-License-Identifier: MIT
#include "base/bounded_queue.h"

#include <atomic>
#include <stdexcept>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("everything comes out once and in order, whatever the bound") {
  for (const std::size_t bound : {1U, 2U, 7U}) {
    BoundedQueue<int> queue(bound);
    std::thread giver([&] {
      for (int i = 0; i < 1000; ++i) queue.push(i);
      queue.finish();
    });
    std::vector<int> taken;
    while (const auto thing = queue.pop()) taken.push_back(*thing);
    giver.join();
    REQUIRE(taken.size() == 1000);
    for (int i = 0; i < 1000; ++i) CHECK(taken[std::size_t(i)] == i);
    CHECK_FALSE(queue.pop().has_value());
  }
}

TEST_CASE("the giver waits when the queue is full") {
  BoundedQueue<int> queue(3);
  std::atomic<int> given{0};
  std::thread giver([&] {
    for (int i = 0; i < 50; ++i) {
      if (!queue.push(i)) break;
      ++given;
    }
    queue.finish();
  });
  for (int taken = 0; taken < 20; ++taken) {
    REQUIRE(queue.pop() == taken);
    // It may be ahead by the bound and what was just taken, never by more.
    CHECK(given <= taken + 1 + 3 + 1);
  }
  queue.abandon();
  giver.join();
  CHECK(given < 50);
  CHECK(queue.finished());
}

TEST_CASE("a failure comes out behind what was given before it, once") {
  BoundedQueue<int> queue(4);
  queue.push(1);
  queue.push(2);
  queue.finish(std::make_exception_ptr(std::runtime_error("film torn")));
  CHECK(queue.pop() == 1);
  CHECK(queue.pop() == 2);
  CHECK_THROWS_WITH_AS(queue.pop(), "film torn", std::runtime_error);
  CHECK_FALSE(queue.pop().has_value());
}

TEST_CASE("nobody gives to a taker who left") {
  BoundedQueue<int> queue(1);
  CHECK(queue.push(1));
  std::thread leaver([&] { queue.abandon(); });
  while (queue.push(2)) {
  }
  leaver.join();
  CHECK_FALSE(queue.push(3));
}
