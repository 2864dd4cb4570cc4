// SPDX-License-Identifier: MIT
#include "cli/overrule.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Qualification judged() {
  Qualification result;
  result.feeds = 2;
  result.tags.resize(2);
  result.tags[0].feed = 7;
  result.tags[0].verdict = Verdict::kKeep;
  result.tags[1].feed = 8;
  result.tags[1].verdict = Verdict::kDiscard;
  result.tags[1].reasons = {"T2 44 above 16"};
  return result;
}

Qualification with(const std::string& rows) {
  Qualification result = judged();
  overrule(result, CsvTable::parse("feed,verdict,note\n" + rows, "own.csv"));
  return result;
}

}  // namespace

TEST_CASE("a verdict by hand stands with its note, the other beside it") {
  const Qualification result = with("8,keep,\"looked: a hand, no ball\"\n");
  CHECK(result.tags[0].verdict == Verdict::kKeep);
  CHECK(result.tags[0].reasons.empty());
  CHECK(result.tags[1].verdict == Verdict::kKeep);
  REQUIRE(result.tags[1].reasons.size() == 2);
  CHECK(result.tags[1].reasons[0] ==
        "by hand, discard before: looked: a hand, no ball");
  CHECK(result.tags[1].reasons[1] == "T2 44 above 16");
  REQUIRE(result.warnings.size() == 1);
  CHECK(result.warnings[0] == "1 verdict by hand: feed 8 discard -> keep");
  CHECK(result.count(Verdict::kKeep) == 2);
  CHECK(with("").warnings.empty());
}

TEST_CASE("what cannot be a verdict by hand is refused by its line") {
  const auto refused = [](const std::string& rows, const char* words) {
    CAPTURE(rows);
    CHECK_THROWS_WITH_AS(with(rows), doctest::Contains(words), InputError);
  };
  refused("9,keep,seen\n", "own.csv:2, column 'feed': there is no feed '9'");
  refused(",keep,seen\n", "there is no feed ''");
  refused("7,keep,seen\n7,keep,seen\n", "own.csv:3, column 'feed': feed 7");
  refused("7,maybe,seen\n", "own.csv:2, column 'verdict'");
  refused("7,,seen\n", "there is no verdict");
  refused("7,keep, \n", "own.csv:2, column 'note': the note is empty");
}
