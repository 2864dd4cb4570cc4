// SPDX-License-Identifier: MIT
#include "base/parallel.h"

#include <chrono>
#include <stdexcept>
#include <string>
#include <thread>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("for_each_index: every index once, whatever the count") {
  for (const std::size_t count : {0, 1, 2, 3, 1000}) {
    std::vector<int> calls(count, 0);
    for_each_index(count, [&](std::size_t i) { ++calls[i]; });
    CHECK(std::count(calls.begin(), calls.end(), 1) ==
          static_cast<std::ptrdiff_t>(count));
  }
}

TEST_CASE("for_each_index: an exception comes out, the rest is not begun") {
  std::atomic<int> calls{0};
  std::string message;
  try {
    for_each_index(100000, [&](std::size_t i) {
      ++calls;
      if (i == 3) throw std::runtime_error("the fourth");
      // So that the others cannot do all the rest while it is thrown.
      if (i > 3) std::this_thread::sleep_for(std::chrono::microseconds(50));
    });
  } catch (const std::runtime_error& error) {
    message = error.what();
  }
  CHECK(message == "the fourth");
  CHECK(calls < 100000);
}
