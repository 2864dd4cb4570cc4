// SPDX-License-Identifier: MIT
#include "pipeline/missing_feeds.h"

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<Feed> feeds_at(const std::vector<double>& times_s) {
  std::vector<Feed> feeds;
  for (const double t_s : times_s) {
    Feed feed;
    feed.number = static_cast<int>(feeds.size()) + 1;
    feed.t_bounce_s = t_s;
    feeds.push_back(feed);
  }
  return feeds;
}

}  // namespace

TEST_CASE("a launcher that throws by the clock tells what left no row") {
  const auto gaps =
      find_feed_gaps(feeds_at({0.95, 1.96, 2.95, 3.94, 4.94, 6.94}));
  REQUIRE(gaps.size() == 1);
  CHECK(gaps[0].after == 5);
  CHECK(gaps[0].missing == 1);
  CHECK(gaps[0].from_s == doctest::Approx(4.94));
  CHECK(feed_gap_words(gaps).find("one feed seems to have left no row: look "
                                  "at the film after feed 5 (4.9 to 6.9 s)") !=
        std::string::npos);
  const auto two =
      find_feed_gaps(feeds_at({1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 14, 15}));
  REQUIRE(two.size() == 2);
  CHECK(two[0].missing == 2);
  CHECK(feed_gap_words(two).find("3 feeds seem") != std::string::npos);
}

TEST_CASE("where many leave no row the clock is still seen") {
  CHECK(find_feed_gaps(feeds_at({1, 2, 4, 5, 6, 8, 9, 11, 12, 13})).size() ==
        3);
}

TEST_CASE("no gap is told where none can be known") {
  CHECK(find_feed_gaps({}).empty());
  CHECK(feed_gap_words({}).empty());
  // Every feed is there.
  CHECK(find_feed_gaps(feeds_at({1, 2, 3, 4, 5, 6, 7})).empty());
  // Too few.
  CHECK(find_feed_gaps(feeds_at({1, 2, 3, 5, 6})).empty());
  // A pause of another length, or a long one.
  CHECK(find_feed_gaps(feeds_at({1, 2, 3, 4, 5, 7.5, 8.5})).empty());
  CHECK(find_feed_gaps(feeds_at({1, 2, 3, 4, 5, 35, 36, 37})).empty());
  // A launcher that throws at random.
  CHECK(find_feed_gaps(feeds_at({1, 2.2, 2.9, 4.4, 5.1, 8.1, 9.6})).empty());
  // The feed between has a row, but no time.
  CHECK(find_feed_gaps(feeds_at({1,
                                 2,
                                 3,
                                 4,
                                 5,
                                 6,
                                 std::numeric_limits<double>::quiet_NaN(),
                                 8,
                                 9}))
            .empty());
}
