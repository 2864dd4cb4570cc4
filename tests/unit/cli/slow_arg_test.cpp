// SPDX-License-Identifier: MIT
#include "cli/slow_arg.h"

#include "base/error.h"

#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

VideoOptions slow_after(std::vector<std::string> words_in_reverse,
                        const std::string& film) {
  Arguments args("", "test");
  SlowArg slow;
  slow.setup(args);
  args.parser().parse(std::move(words_in_reverse));
  return slow.video(film);
}

}  // namespace

TEST_CASE("--rate says how fast it was taken, by the rate the film plays at") {
  // no-table.mp4 plays at 25 frames a second.
  const std::string film = EVENFEED_ROOT "/tests/cli/input/no-table.mp4";
  CHECK(slow_after({"200", "--rate"}, film).slow == 8.0);
  CHECK(slow_after({"8", "--slow"}, film).slow == 8.0);
  CHECK_FALSE(slow_after({}, film).slow.has_value());
  CHECK_THROWS_AS((void)slow_after({"8", "--slow", "200", "--rate"}, film),
                  UsageError);
  CHECK_THROWS_AS((void)slow_after({"200", "--rate"}, ""), UsageError);
  CHECK_THROWS_AS((void)slow_after({"200", "--rate"}, film + ".absent"),
                  InputError);
}

TEST_CASE("a factor near a whole number is that number") {
  CHECK(slow_factor(240, 30) == 8);
  CHECK(slow_factor(240, 30000.0 / 1001) == 8);
  CHECK(slow_factor(60, 59.94) == 1);
  CHECK(slow_factor(30, 60.1) == 0.5);
  CHECK(slow_factor(25, 24) == doctest::Approx(25.0 / 24));
  CHECK(slow_factor(31.2, 30) == doctest::Approx(1.04));
}
