// SPDX-License-Identifier: MIT
#include "cli/wanted_pairs.h"

#include "base/error.h"
#include "base/file_set.h"
#include "support/temp_dir.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("pairs are taken by row, by feeds, or the closest") {
  const TempDir folder("wanted-pairs");
  const auto file = folder / "pairs.csv";
  write_files_whole({{file,
                      "a_feed,b_feed,distance\n5,6,0.9\n7,9,0.1\n8,2,0.5\n"
                      "11,12,0.4\n"}});
  const auto told = [&](const std::vector<std::string>& words) {
    std::string text;
    for (const WantedPair& pair : wanted_pairs(file, words)) {
      text += std::to_string(pair.a) + "+" + std::to_string(pair.b) + " ";
    }
    return text;
  };
  CHECK(told({}) == "7+9 11+12 8+2 ");
  CHECK(told({"1", "3"}) == "5+6 8+2 ");
  CHECK(told({"8+2"}) == "8+2 ");
  CHECK_THROWS_WITH_AS(
      told({"8+9"}), doctest::Contains("are not a pair in"), InputError);
  CHECK_THROWS_WITH_AS(
      told({"5"}), doctest::Contains("Its pairs are 1 to 4"), InputError);
  for (const char* odd : {"0", "-1", "x", "1.5", "8+", "+2", "8+2+1"}) {
    CAPTURE(odd);
    CHECK_THROWS_AS(told({odd}), UsageError);
  }
  CHECK(wanted_pairs({}, {"12+21"}).at(0).b == 21);
  CHECK_THROWS_WITH_AS(
      wanted_pairs({}, {"3"}), doctest::Contains("--matched"), UsageError);
  CHECK_THROWS_AS(wanted_pairs({}, {}), UsageError);
}
