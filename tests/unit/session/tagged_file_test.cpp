// SPDX-License-Identifier: MIT
#include "session/tagged_file.h"

#include "base/error.h"
#include "session/feeds_file.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("the words of tags are known ones, empty or refused") {
  const CsvTable table = CsvTable::parse(
      "feed,phase,verdict\n1,warm-up,keep\n2,,\n3,later,maybe\n", "tagged.csv");
  CHECK(phase_word(table, 0) == "warm-up");
  CHECK(verdict_word(table, 0) == "keep");
  CHECK(phase_word(table, 1).empty());
  CHECK(verdict_word(table, 1).empty());
  CHECK_THROWS_WITH_AS(
      (void)verdict_word(table, 2),
      doctest::Contains("tagged.csv:4, column 'verdict': 'maybe'"),
      InputError);
  CHECK_THROWS_AS((void)phase_word(table, 2), InputError);
  const CsvTable plain = CsvTable::parse("feed\n1\n", "feeds.csv");
  CHECK(verdict_word(plain, 0).empty());
}

TEST_CASE("tagged.csv is read whole, or refused") {
  const std::vector<TaggedFeed> tagged = read_tagged(CsvTable::parse(
      "feed,x_mm,phase,verdict,reasons\n3,650,monitor,review,x; y\n",
      "tagged.csv"));
  REQUIRE(tagged.size() == 1);
  CHECK(tagged[0].feed.number == 3);
  CHECK(tagged[0].phase == "monitor");
  CHECK(tagged[0].verdict == "review");
  CHECK(tagged[0].reasons == "x; y");
  for (const char* header :
       {"feed,verdict,reasons", "feed,phase,reasons", "feed,phase,verdict"}) {
    CAPTURE(header);
    CHECK_THROWS_AS((void)read_tagged(CsvTable::parse(header, "tagged.csv")),
                    InputError);
  }
}

TEST_CASE("a feed's number is whole and fits") {
  for (const char* number : {"1e300", "1e10", "2.5"}) {
    const CsvTable table =
        CsvTable::parse(std::string("feed\n") + number + "\n", "f.csv");
    CHECK_THROWS_WITH_AS((void)read_feeds(table),
                         doctest::Contains("f.csv:2, column 'feed'"),
                         InputError);
  }
  CHECK(read_feeds(CsvTable::parse("feed\n41\n", "f.csv"))[0].number == 41);
}
