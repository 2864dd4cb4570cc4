// SPDX-License-Identifier: MIT
#include "cli/sound_args.h"

#include "base/error.h"
#include "pipeline/measurement.h"

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

TEST_CASE("a film is listened to unless --no-sound says not to") {
  CHECK(after({}).listen);
  CHECK_FALSE(after({"--no-sound"}).listen);
}

TEST_CASE("the microphone is a place, or the sample") {
  const MeasureOptions by_place = after({"1400,-20.5,300", "--microphone"});
  REQUIRE(by_place.microphone_m);
  CHECK(by_place.microphone_m->isApprox(Eigen::Vector3d(1.4, -0.0205, 0.3)));
  CHECK_FALSE(by_place.microphone_at_sample);
  const MeasureOptions clipped = after({"sample", "--microphone"});
  CHECK(clipped.microphone_at_sample);
  CHECK_FALSE(clipped.microphone_m);
  CHECK_FALSE(after({}).microphone_m);
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
    CHECK_THROWS_WITH_AS(
        after({wrong, "--microphone"}), doctest::Contains("X,Y,Z"), UsageError);
  }
}

TEST_CASE("a microphone that nobody listens to is refused") {
  CHECK_THROWS_WITH_AS(after({"--no-sound", "sample", "--microphone"}),
                       doctest::Contains("leave out --no-sound"),
                       UsageError);
}
