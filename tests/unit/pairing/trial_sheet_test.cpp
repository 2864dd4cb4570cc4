// SPDX-License-Identifier: MIT
#include "pairing/trial_sheet.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a feed that two samples got would be compared with itself") {
  // Counted within each sample instead of over the trial.
  const CsvTable by_sample =
      CsvTable::parse("order,sample\n1,K\n2,K\n1,M\n2,M\n", "order.csv");
  CHECK_THROWS_WITH_AS(
      require_one_sample_a_feed(by_sample),
      doctest::Contains("order.csv:4, column 'order': feed 1 is of 'M' here "
                        "and of 'K' in order.csv:2, column 'order'"),
      InputError);
  const CsvTable slip = CsvTable::parse(
      "order,sample,feed\n1,K,11\n2,M,12\n3,M,11\n", "order.csv");
  CHECK_THROWS_WITH_AS(require_one_sample_a_feed(slip),
                       doctest::Contains("order.csv:4, column 'feed'"),
                       InputError);
  // Warm-up feeds are of no sample; a feed twice in one is refused elsewhere.
  const CsvTable sound = CsvTable::parse(
      "order,sample,feed\n1,,1\n2,,1\n3,K,3\n4,M,4\n", "order.csv");
  CHECK_NOTHROW(require_one_sample_a_feed(sound));
}

TEST_CASE("a file that says what each feed was fed to needs no sheet") {
  const CsvTable feeds = CsvTable::parse(
      "feed,x_mm,sample\n1,5,\n2,6,M\n3,7,K\n5,8,M\n", "tagged.csv");
  CHECK(samples_told_in(feeds) == std::vector<std::string>{"K", "M"});
  const CsvTable of_m = feeds_told_of(feeds, "M");
  REQUIRE(of_m.rows() == 2);
  CHECK(of_m.text(0, of_m.require_column("x_mm")) == "6");
  CHECK(of_m.require_number(1, of_m.require_column("order")) == 5);
  CHECK_THROWS_WITH_AS(
      feeds_told_of(feeds, "P"), doctest::Contains("K, M"), InputError);
  for (const char* rows : {"feed,sample\n1,\n", "feed,sample\n1,K\n2,K\n"}) {
    CHECK_THROWS_WITH_AS(samples_told_in(CsvTable::parse(rows, "tagged.csv")),
                         doctest::Contains("--order"),
                         InputError);
  }
}

TEST_CASE("a feed's number that is no whole one is refused, not rounded") {
  const CsvTable feeds = CsvTable::parse(
      "feed,sample,x_mm\n1,K,650\n2.5,K,651\n3,M,652\n", "feeds.csv");
  CHECK_THROWS_WITH_AS((void)feeds_told_of(feeds, "K"),
                       doctest::Contains("feeds.csv:3, column 'feed': 2.5"),
                       InputError);
  const CsvTable sheet = CsvTable::parse("order,sample\n1,K\n", "order.csv");
  CHECK_THROWS_WITH_AS((void)feeds_of_sample(feeds, sheet, "K"),
                       doctest::Contains("feeds.csv:3, column 'feed': 2.5"),
                       InputError);
}
