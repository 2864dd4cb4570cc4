// SPDX-License-Identifier: MIT
#include "session/feeds_file.h"

#include "base/error.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Invented; every number is one of its own.
std::vector<Feed> two_feeds(bool came_back) {
  std::vector<Feed> feeds(2);
  double value = 1;
  for (Feed& feed : feeds) {
    feed.number = static_cast<int>(&feed - feeds.data()) + 1;
    feed.t_bounce_s = value;
    feed.st_bounce_s = 0.0005;
    for (Measured& one : feed.values) one = {value += 1, 0.25};
    feed.status = FeedStatus::kMeasured;
    feed.note = "a, \"b\"";
  }
  if (came_back) {
    for (Measured& one : feeds[1].returned) one = {value += 1, 0.5};
  }
  return feeds;
}

std::vector<Feed> again(const std::vector<Feed>& feeds) {
  return read_feeds(CsvTable::parse(feeds_text(feeds), "feeds.csv"));
}

}  // namespace

TEST_CASE("feeds and returns are read back as they were written") {
  const std::vector<Feed> feeds = two_feeds(true);
  const std::vector<Feed> read = again(feeds);
  REQUIRE(read.size() == 2);
  int compared = 0;
  for (std::size_t f = 0; f < 2; ++f) {
    CHECK(read[f].number == feeds[f].number);
    CHECK(read[f].status == FeedStatus::kMeasured);
    CHECK(read[f].note == feeds[f].note);
    for (std::size_t i = 0; i < kCharacteristicCount; ++i) {
      CHECK(read[f].values[i].value == feeds[f].values[i].value);
      CHECK(read[f].values[i].sigma == feeds[f].values[i].sigma);
      ++compared;
    }
    for (std::size_t i = 0; i < kReturnValueCount; ++i) {
      if (f == 0) {
        CHECK(std::isnan(read[f].returned[i].value));
        CHECK(std::isnan(read[f].returned[i].sigma));
      } else {
        CHECK(read[f].returned[i].value == feeds[f].returned[i].value);
        CHECK(read[f].returned[i].sigma == feeds[f].returned[i].sigma);
      }
      ++compared;
    }
  }
  CHECK(compared == 2 * (kCharacteristicCount + kReturnValueCount));
}

TEST_CASE("without any return there are no columns of returns") {
  CHECK(feeds_text(two_feeds(true)).find("ret_speed_mps") != std::string::npos);
  CHECK(feeds_text(two_feeds(false)).find("ret_") == std::string::npos);
  CHECK(again(two_feeds(false)).size() == 2);
  CHECK(again({}).empty());
}

TEST_CASE("a file of feeds is refused by place") {
  const auto read = [](const std::string& text) {
    return read_feeds(CsvTable::parse(text, "feeds.csv"));
  };
  CHECK(read("feed\n7\n")[0].number == 7);
  CHECK_THROWS_AS(read("x_mm\n7\n"), InputError);
  CHECK_THROWS_AS(read("feed,x_mm\n1,wide\n"), InputError);
  CHECK_THROWS_AS(read("feed,ret_x_mm\n1,wide\n"), InputError);
  CHECK_THROWS_WITH_AS(read("feed,status\n1,perhaps\n"),
                       doctest::Contains("perhaps"),
                       InputError);
  CHECK_THROWS_WITH_AS(read("feed,x_mm\n1,5\n2,6\n1,7\n"),
                       doctest::Contains("feeds.csv:4, column 'feed': feed 1 "
                                         "stands twice"),
                       InputError);
}
