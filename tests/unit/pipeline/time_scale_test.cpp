// SPDX-License-Identifier: MIT
// Films that play slower than they were taken, as sightings whose times are
// stretched.
#include "pipeline/time_scale.h"

#include "unit/pipeline/slow_film.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kFeeds = 4;

Measurement measured_slower(double slower) {
  return measured_as_played(kFeeds, [&](double t_s) { return slower * t_s; });
}

}  // namespace

TEST_CASE("gravity tells how many times slower a film plays") {
  const Measurement slow = measured_slower(4);
  CHECK(doubts_time_scale(slow.fit));
  REQUIRE(slow.time_scale);
  CHECK(slow.time_scale->slower == doctest::Approx(4).epsilon(0.2));
  CHECK(slow.time_scale->log_sd > 0.02);
  CHECK(slow.time_scale->log_sd < 0.3);
  CHECK(std::abs(std::log(slow.time_scale->slower / 4)) <
        3 * slow.time_scale->log_sd);
  REQUIRE_FALSE(slow.fit.warnings.empty());
  CHECK(slow.fit.warnings[0].find("--slow 4") != std::string::npos);
}

// Some of the feeds of such films look measured, with all speeds wrong.
TEST_CASE("a film that plays faster or slower is not measured without a word") {
  for (const double slower : {0.5, 2., 10.}) {
    CAPTURE(slower);
    const Measurement film = measured_slower(slower);
    CHECK(doubts_time_scale(film.fit));
    REQUIRE(film.time_scale);
    CHECK(film.time_scale->slower == doctest::Approx(slower).epsilon(0.2));
  }
}

TEST_CASE("a film that plays as it was taken is left alone") {
  const Measurement usual = measured_slower(1);
  CHECK(usual.fit.feeds.size() == kFeeds);
  CHECK_FALSE(usual.time_scale);
  CHECK_FALSE(doubts_time_scale(usual.fit));
}

TEST_CASE("feeds that land before the net raise a doubt, beyond it none") {
  const auto doubted = [](double x_mm, int before_net) {
    SessionFit fit;
    fit.ends.net_x_m = 0;
    for (int i = 0; i < 6; ++i) {
      Feed feed;
      feed.status = FeedStatus::kMeasured;
      feed[Characteristic::kX].value = i < before_net ? -1000 : x_mm;
      fit.feeds.push_back(feed);
    }
    return doubts_time_scale(fit);
  };
  CHECK_FALSE(doubted(700, 0));
  CHECK_FALSE(doubted(700, 3));
  CHECK(doubted(700, 4));
}

TEST_CASE("what to say counts what was said already") {
  TimeScale scale;
  scale.slower = 2.1;
  scale.log_sd = 0.1;
  CHECK(time_scale_words(scale).find("2.1 times slower") != std::string::npos);
  CHECK(time_scale_words(scale).find("--slow 2") != std::string::npos);
  scale.said = 4;
  CHECK(time_scale_words(scale).find("--slow 8") != std::string::npos);
  scale.slower = 0.5;
  scale.said = 1;
  CHECK(time_scale_words(scale).find("2.0 times faster") != std::string::npos);
  CHECK(time_scale_words(scale).find("--slow 0.5") != std::string::npos);
}
