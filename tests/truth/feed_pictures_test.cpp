// SPDX-License-Identifier: MIT
// Pictures of feeds against the simulator's truth: the balls pasted in, the
// flight and the marks lie where the ball truly was.
#include "pictures/feed_pictures.h"

#include "pipeline/measure.h"
#include "truth/filmed_scene.h"

#include <doctest/doctest.h>
#include <opencv2/imgcodecs.hpp>

using namespace evenfeed;

namespace {

constexpr double kMost_px = 2;
constexpr int kFeeds = 10;

// Twelve feeds, two more than are looked at.
struct Pictured : FilmedScene {
  Measurement measured;
  FeedPictures pictures{folder.path()};

  Pictured()
      : FilmedScene("feed-pictures", [](Scene& filmed) {
          filmed.launcher.feeds = kFeeds + 2;
          filmed.launcher.interval_s.mean = 0.9;
        }) {
    MeasureOptions options;
    options.bench_of_this_film = true;
    options.onlooker = {
        [&](const VideoInfo& info, const std::vector<Frame>& opening) {
          pictures.begin(info, opening);
        },
        [&](const Frame& frame, const std::vector<Sighting>& seen) {
          pictures.add(frame, seen);
        }};
    measured = measure_film(path(), bench, profile, options);
  }

  // The truth that bounces at the same time; the ball's number too.
  int ball_of(const FlownFeed& feed) const {
    for (std::size_t i = 0; i < film.feeds.size(); ++i) {
      for (const FlownPoint& point : feed.path) {
        if (point.mark == FlightMark::kBounce &&
            std::abs(point.t_s - film.feeds[i].t_bounce_s) < 0.05) {
          return static_cast<int>(i);
        }
      }
    }
    return -1;
  }
};

std::optional<Eigen::Vector2d> at_time(const FlownFeed& feed, double t_s) {
  for (std::size_t i = 1; i < feed.path.size(); ++i) {
    const FlownPoint& a = feed.path[i - 1];
    const FlownPoint& b = feed.path[i];
    if (a.leg == Leg::kBack || b.leg == Leg::kBack) continue;
    if (t_s < a.t_s || t_s > b.t_s || b.t_s == a.t_s) continue;
    const double share = (t_s - a.t_s) / (b.t_s - a.t_s);
    return a.place_px + share * (b.place_px - a.place_px);
  }
  return std::nullopt;
}

}  // namespace

TEST_CASE("flight, bounce and balls lie on the true ball within two pixels") {
  Pictured session;
  const auto& flown = session.measured.fit.flown;
  REQUIRE(flown.size() >= kFeeds);
  int feeds = 0;
  int places = 0;
  for (const FlownFeed& feed : flown) {
    const int ball = session.ball_of(feed);
    if (ball < 0) continue;
    CAPTURE(feed.number);
    ++feeds;
    // By frames, not by times: what is drawn must lie on the ball, however the
    // readout that nobody told stamps it.
    for (const TrueSighting& truth : session.film.sightings) {
      if (truth.ball != ball || truth.kind != BallKind::kFeed) continue;
      for (const Sighting& seen : feed.sightings) {
        if (seen.frame != truth.frame) continue;
        const auto drawn = at_time(feed, seen.t_s);
        if (!drawn) continue;
        ++places;
        CAPTURE(seen.frame);
        CHECK((*drawn - truth.centre_px).norm() < kMost_px);
      }
    }
    for (const FlownPoint& point : feed.path) {
      if (point.mark != FlightMark::kBounce) continue;
      const auto truth = session.scene.camera.model.project(
          session.film.feeds[static_cast<std::size_t>(ball)].bounce_m);
      REQUIRE(truth);
      CHECK((point.place_px - *truth).norm() < kMost_px);
    }
  }
  CHECK(feeds >= kFeeds);
  CHECK(places > 20 * kFeeds);

  const auto pictures = session.pictures.draw(flown, [](int) { return true; });
  REQUIRE(pictures.size() == flown.size());
  CHECK(session.pictures.broken().empty());
  std::size_t bytes = 0;
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    CHECK(pictures[i].number == flown[i].number);
    CHECK(pictures[i].jpeg.size() <= 15'000);
    bytes += pictures[i].jpeg.size();
    const std::vector<uchar> raw(pictures[i].jpeg.begin(),
                                 pictures[i].jpeg.end());
    const cv::Mat still = cv::imdecode(raw, cv::IMREAD_COLOR);
    CHECK(still.cols >= 300);
    CHECK(still.rows >= 200);
  }
  MESSAGE("mean size of a picture, bytes: ", bytes / pictures.size());
  const auto one =
      session.pictures.draw(flown, [](int number) { return number == 3; });
  REQUIRE(one.size() == 1);
  CHECK(one[0].number == 3);
  CHECK(one[0].jpeg == pictures[2].jpeg);
}
