// SPDX-License-Identifier: MIT
#include "cli/sound_args.h"

#include "base/error.h"
#include "pipeline/measure.h"

#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

MeasureOptions after(std::vector<std::string> words_in_reverse) {
  MeasureOptions options;
  Arguments args("", "test");
  SoundArgs sound;
  sound.setup(args);
  args.parser().parse(std::move(words_in_reverse));
  sound.apply(options);
  return options;
}

}  // namespace

TEST_CASE("a film is listened to as --sound says") {
  CHECK_FALSE(after({"no", "--sound"}).listen);
  CHECK(after({"auto", "--sound"}).listen);
  CHECK_THROWS_WITH_AS(after({"loud", "--sound"}),
                       doctest::Contains("--sound: loud"),
                       CLI::ValidationError);
}

TEST_CASE("the microphone is a place, or the sample") {
  const MeasureOptions by_place =
      after({"1400,-20.5,300", "--microphone", "auto", "--sound"});
  REQUIRE(by_place.microphone_m);
  CHECK(by_place.microphone_m->isApprox(Eigen::Vector3d(1.4, -0.0205, 0.3)));
  CHECK_FALSE(by_place.microphone_at_sample);
  const MeasureOptions clipped =
      after({"sample", "--microphone", "auto", "--sound"});
  CHECK(clipped.microphone_at_sample);
  CHECK_FALSE(clipped.microphone_m);
  CHECK_FALSE(after({"auto", "--sound"}).microphone_m);
  for (const char* wrong : {"table",
                            "1,2",
                            "1,2,3,4",
                            "1,2,",
                            "1;2;3",
                            "1,2,x",
                            "1,2,3 ",
                            "nan,0,0",
                            "1,2,60000",
                            "inf,0,0"}) {
    CAPTURE(std::string(wrong));
    CHECK_THROWS_WITH_AS(after({wrong, "--microphone", "auto", "--sound"}),
                         doctest::Contains("X,Y,Z"),
                         UsageError);
  }
}

TEST_CASE("a microphone that nobody listens to is refused") {
  CHECK_THROWS_WITH_AS(after({"sample", "--microphone", "no", "--sound"}),
                       doctest::Contains("--sound says no"),
                       UsageError);
}
