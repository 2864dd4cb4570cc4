// SPDX-License-Identifier: MIT
#include "flight/measurable.h"

#include "base/units.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

FoundFeed feed_with(int before, int after, double rms_px, int seen = 0) {
  FoundFeed feed;
  feed.fit.status = FitStatus::kOk;
  feed.fit.before = before;
  feed.fit.after = after;
  feed.fit.rms_px = rms_px;
  feed.fit.degrees_of_freedom = 2.0 * (before + after) - 9;
  feed.fit.end_s = 1;
  feed.sightings.resize(
      static_cast<std::size_t>(seen > 0 ? seen : before + after));
  return feed;
}

std::vector<FoundFeed> usual_session() {
  return std::vector<FoundFeed>(8, feed_with(24, 12, 0.15));
}

std::string doubt_of(FoundFeed odd, std::vector<FoundFeed> others) {
  others.push_back(std::move(odd));
  refuse_doubtful(others, CameraModel{}, {});
  for (std::size_t i = 0; i + 1 < others.size(); ++i) {
    CHECK(others[i].fit.ok());
  }
  return others.back().fit.ok() ? "" : others.back().fit.message;
}

Feed known_to(double sx_mm, double st_s, FeedStatus status) {
  Feed feed;
  feed.status = status;
  feed[Characteristic::kX] = {700, sx_mm};
  feed[Characteristic::kY] = {0, 1};
  feed.st_bounce_s = st_s;
  return feed;
}

}  // namespace

TEST_CASE("a feed like the others, or with the misses of a bad film, stays") {
  CHECK(doubt_of(feed_with(20, 10, 0.3), usual_session()).empty());
  CHECK(doubt_of(feed_with(20, 10, 0.9), usual_session()).empty());
  CHECK(doubt_of(feed_with(7, 2, 0.15), usual_session()).empty());
  CHECK(doubt_of(feed_with(4, 2, 0.5), {}).empty());
}

TEST_CASE("residuals that are no ball's are refused, with the figure") {
  CHECK(doubt_of(feed_with(20, 10, 19.2), {}) ==
        "the sightings lie 19.2 px beside a flight, a ball's no more than 2.5");
  CHECK(doubt_of(feed_with(20, 10, 1.4), usual_session()) ==
        "the sightings lie 1.4 px beside a flight, the other feeds' 0.15");
}

TEST_CASE("few sightings must leave less, since any would leave little") {
  CHECK(doubt_of(feed_with(4, 2, 2.0), {}) ==
        "the sightings lie 2.0 px beside a flight, a ball's no more than 0.6");
  CHECK(doubt_of(feed_with(7, 4, 2.0), {}).empty());
}

TEST_CASE("so are flights that hardly anything supports") {
  CHECK(doubt_of(feed_with(3, 2, 0.1), {}) ==
        "5 sightings on one flight where 6 are needed");
  CHECK(doubt_of(feed_with(5, 2, 0.1), usual_session()) ==
        "7 sightings on one flight where 9 are needed");
  CHECK(doubt_of(feed_with(5, 3, 0.1, 16), {}) ==
        "only 50 % of the sightings lie on one flight");
}

// Any short piece of what goes on looks like a flight with a bounce.
TEST_CASE("nor is a flight what most of the sightings lie beyond") {
  FoundFeed piece = feed_with(5, 3, 0.1, 40);
  for (std::size_t i = 8; i < 40; ++i) piece.sightings[i].t_s = 2;
  CHECK(doubt_of(piece, {}) == "only 20 % of all sightings lie on one flight");
  piece.sightings.resize(24);
  CHECK(doubt_of(piece, {}).empty());
}

TEST_CASE("what is hardly known is not called measured") {
  const auto why = [](double sx_mm, double st_s, FeedStatus status) {
    return why_unknown(known_to(sx_mm, st_s, status), {}, 0.005, {});
  };
  CHECK(why(30, 0.002, FeedStatus::kMeasured).empty());
  CHECK(why(900, 0.002, FeedStatus::kMeasured) ==
        "the landing is known no better than 900 mm");
  CHECK(why(std::nan(""), 0.002, FeedStatus::kMeasured).find("nan") !=
        std::string::npos);
  CHECK(why(30, 0.020, FeedStatus::kMeasured) ==
        "the time of the bounce is known no better than 20 ms");
  CHECK(why(30, 0.020, FeedStatus::kExtrapolated).empty());
  // A slow camera may be uncertain by a frame.
  CHECK(why_unknown(known_to(30, 0.020, FeedStatus::kMeasured), {}, 0.04, {})
            .empty());
}

TEST_CASE("a bounce turns a ball no more than friction lets it") {
  Feed feed = known_to(2, 0.002, FeedStatus::kMeasured);
  const auto why = [&](double vx_out, double vy_out, double sigma) {
    feed[Characteristic::kVxIn] = {3.4, sigma};
    feed[Characteristic::kVyIn] = {-0.2, sigma};
    feed[Characteristic::kVzIn] = {-3.3, sigma};
    feed[Characteristic::kVxOut] = {vx_out, sigma};
    feed[Characteristic::kVyOut] = {vy_out, sigma};
    feed[Characteristic::kVzOut] = {3.0, sigma};
    return why_no_bounce(feed, 0.22);
  };
  CHECK(why(1.4, -3.8, 0.05) ==
        "the two arcs are not one ball's: no bounce turns a ball by 4.1 m/s "
        "along the surface and 6.3 m/s away from it");
  CHECK(why(1.4, -3.8, 0.5).empty());   // badly known
  CHECK(why(1.2, -0.2, 0.05).empty());  // a rough table, much backspin
  feed.status = FeedStatus::kExtrapolated;
  CHECK(why(1.4, -3.8, 0.05).empty());
}

TEST_CASE("in a larger picture residuals are larger") {
  CameraModel large;
  large.width_px = 3840;
  large.height_px = 2160;
  CHECK(picture_scale(large) == 3);
  CHECK(picture_scale(CameraModel{}) == 1);
  const auto stays = [&](double rms_px) {
    std::vector<FoundFeed> found = {feed_with(20, 10, rms_px)};
    refuse_doubtful(found, large, {});
    return found[0].fit.ok();
  };
  CHECK(stays(7.4));
  CHECK_FALSE(stays(7.6));
}

TEST_CASE("a ball that flies towards the launcher is no feed") {
  FoundFeed back = feed_with(20, 10, 0.15);
  back.fit.parameters[kVelocityIn] = -2;
  CHECK(doubt_of(back, usual_session()) == "it flies towards the launcher");
  back.fit.parameters[kVelocityIn] = 2;
  CHECK(doubt_of(back, usual_session()).empty());
}
