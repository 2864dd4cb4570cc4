// SPDX-License-Identifier: MIT
#include "live/order_sheet.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

OrderSheet sheet(const std::string& rows) {
  return OrderSheet(CsvTable::parse(
      "order,purpose,block,sample,ball,feed,note\n" + rows, "order.csv"));
}

const char* const kRows =
    "1,warm-up,,,1,,\n"
    "2,warm-up,,,2,,\n"
    "3,trial,1,K,1,,\n"
    "4,trial,1,K,2,,turn the glass\n"
    "5,trial,1,K,3,,\n"
    "6,trial,1,M,1,,\n"
    "7,re-check,,,2,,\n";

}  // namespace

TEST_CASE("rows of one sample are a step, and a note ends one") {
  const OrderSheet order = sheet(kRows);
  REQUIRE(order.steps().size() == 5);
  CHECK(order.steps()[0].feeds() == 2);
  CHECK(order.steps()[0].sample.empty());
  CHECK(order.steps()[1].sample == "K");
  CHECK(order.steps()[1].after == "turn the glass");
  CHECK(order.steps()[2].feeds() == 1);
  CHECK(order.steps()[2].after.empty());
  CHECK(order.steps()[3].sample == "M");
  CHECK(order.steps()[4].purpose == "re-check");
}

TEST_CASE("it is followed by what the tester says, step by step, and back") {
  const OrderSheet order = sheet(kRows);
  TrialLog log;
  OrderPlace place = order.place(log, {1});
  CHECK(order.words(place) ==
        "warm-up (launcher alone): 1 of 2 fed; next: K, 2 feeds, then turn the "
        "glass");
  CHECK_FALSE(order.due(place));
  place = order.place(log, {1, 2, 3});
  CHECK(order.due(place));
  CHECK(order.words(place) ==
        "next: K, 2 feeds, then turn the glass: say when it is done; 1 feed "
        "was fed more than the order has");
  // Fed on without a word it stays where it is: what is clamped is not guessed.
  CHECK(order.place(log, {1, 2, 3, 4, 5}).step == 0);
  log.add({LogWord::kStep, 3.5, "K"});
  place = order.place(log, {1, 2, 3, 4});
  CHECK(place.step == 1);
  CHECK(place.fed == 1);
  CHECK(order.words(place) ==
        "K: 1 of 2 fed, then turn the glass; next: K, 1 feed");
  place = order.place(log, {1, 2, 3, 4, 5});
  CHECK(order.words(place) ==
        "turn the glass; next: K, 1 feed: say when it is done");
  CHECK(log.undo());
  CHECK(order.place(log, {1, 2, 3, 4}).step == 0);
  for (int i = 0; i < 5; ++i) log.add({LogWord::kStep, 10.0 + i, ""});
  CHECK(order.words(order.place(log, {})) == "the order is done");
}

TEST_CASE("a feed has the sample of its step, and the sheet's ball") {
  const OrderSheet order = sheet(kRows);
  TrialLog log;
  log.add({LogWord::kStep, 2.5, "K"});
  log.add({LogWord::kExclude, 3.4, ""});
  log.add({LogWord::kStep, 6.5, "K"});
  log.add({LogWord::kBall, 7.5, "9"});
  log.add({LogWord::kStep, 7.6, "M"});
  log.add({LogWord::kStep, 8.6, ""});
  std::vector<std::pair<double, double>> flown_s;
  for (int i = 1; i <= 9; ++i) flown_s.emplace_back(i, i + 0.4);
  const auto said = logs_of_feeds(log, order, flown_s);
  REQUIRE(said.size() == 9);
  std::string samples, balls;
  for (const FeedLog& one : said) {
    samples += one.sample.empty() ? "." : one.sample;
    balls += one.ball.empty() ? "." : one.ball;
  }
  CHECK(samples == "..KKKKKM.");
  // The third does not count and its ball is fed again; the sixth is one too
  // many; from the eighth on another ball was named.
  CHECK(balls == "12112.399");
  CHECK(said[2].excluded);
  CHECK(logs_of_feeds(log, OrderSheet(), flown_s)[0].ball.empty());
}

TEST_CASE("a sheet that cannot be followed is refused by its row") {
  const auto refused = [](const std::string& rows, const char* words) {
    CHECK_THROWS_WITH_AS(sheet(rows), doctest::Contains(words), InputError);
  };
  refused("1,trial,1,K,1,7,\n", "order.csv:2, column 'feed'");
  refused("1,trial,1,K,1,,\n3,trial,1,M,1,,\n", "the order is 3 where 2 comes");
  refused("", "there is no feed in this order");
  refused("1,trial,1,=K,1,,\n", "may not begin with");
  CHECK_THROWS_WITH_AS(OrderSheet(CsvTable::parse("order\n1\n", "order.csv")),
                       doctest::Contains("sample"),
                       InputError);
}

TEST_CASE("a sheet of samples alone is enough") {
  const OrderSheet order(CsvTable::parse("sample\nK\nK\nM\n", "order.csv"));
  REQUIRE(order.steps().size() == 2);
  CHECK(order.words({0, 0}) == "K: 0 of 2 fed; next: M, 1 feed");
  CHECK(order.words({1, 0}) == "M: 0 of 1 fed; it is the last");
  CHECK(order.words({1, 1}) == "all is fed: say when it is done");
}
