// SPDX-License-Identifier: MIT
#include "film/ffmpeg_abilities.h"

#include <algorithm>
#include <set>

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("what FFmpeg can do is asked of it, each thing once") {
  const auto all = ffmpeg_abilities();
  std::set<std::pair<std::string, std::string>> seen;
  for (const FfmpegAbility& one : all) {
    CHECK(seen.emplace(ability_kind_name(one.kind), one.name).second);
    CHECK_FALSE(one.use.empty());
    // These tests' own films could not be made without.
    if (one.needed) CHECK_MESSAGE(one.there, one.name);
  }
  for (const char* name : {"tcp", "mpegts", "h264", "mjpeg", "libx264"}) {
    CHECK_MESSAGE(std::any_of(all.begin(),
                              all.end(),
                              [&](const FfmpegAbility& one) {
                                return one.name == name && one.there;
                              }),
                  name);
  }
  CHECK_FALSE(ffmpeg_version().empty());
}
