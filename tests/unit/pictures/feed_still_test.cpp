// SPDX-License-Identifier: MIT
#include "pictures/feed_still.h"

#include "film/video_source.h"
#include "pictures/drawing.h"

#include <cmath>

#include <doctest/doctest.h>
#include <opencv2/core.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

// A grey scene with a red ball seen at four places; frames 3, 5, 7 and 9.
struct Seen {
  cv::Mat scene{240, 320, CV_8UC3, cv::Scalar::all(90)};
  FlownFeed feed;
  std::vector<BallCut> cuts;

  Seen() {
    feed.number = 1;
    for (int i = 0; i < 4; ++i) {
      Sighting s;
      s.frame = 3 + 2 * i;
      s.t_s = 0.1 * i;
      s.centre_px = {60.0 + 50 * i, 100.0 + 20 * i};
      s.diameter_px = 14;
      feed.sightings.push_back(s);
      BallCut cut;
      cut.frame = s.frame;
      cut.seen_px = s.centre_px;
      cut.picture = cv::Mat(29, 29, CV_8UC3, cv::Scalar::all(90));
      cv::circle(cut.picture, {14, 14}, 7, {0, 0, 220}, cv::FILLED);
      cut.corner_px = {46 + 50 * i, 86 + 20 * i};
      cuts.push_back(cut);
      FlownPoint point;
      point.leg = i < 2 ? Leg::kIn : Leg::kOut;
      point.mark = i == 1 ? FlightMark::kBounce : FlightMark::kNone;
      point.t_s = s.t_s;
      point.place_px = point.film_px = s.centre_px;
      feed.path.push_back(point);
    }
  }
};

bool is_red(const cv::Vec3b& pixel) {
  return pixel[2] > 180 && pixel[1] < 60 && pixel[0] < 60;
}

}  // namespace

TEST_CASE("a view turns places as the picture is turned") {
  cv::Mat picture(60, 90, CV_8UC1, cv::Scalar(0));
  picture.at<uchar>(17, 31) = 255;  // v, u
  int checked = 0;
  for (const int turn : {0, 90, 180, 270}) {
    CAPTURE(turn);
    PictureView view;
    view.area = {10, 5, 70, 40};
    view.rotation_deg = turn;
    const cv::Mat shown = turned_for_display(picture(view.area), turn);
    CHECK(view.size() == shown.size());
    const Eigen::Vector2d at = view({31, 17});
    REQUIRE(at.x() == doctest::Approx(std::round(at.x())));
    CHECK(shown.at<uchar>(static_cast<int>(std::lround(at.y())),
                          static_cast<int>(std::lround(at.x()))) == 255);
    view.scale = 2;  // a pixel's centre becomes the middle of four
    CHECK((view({31, 17}) - (2 * at.array() + 0.5).matrix()).norm() < 1e-9);
    ++checked;
  }
  CHECK(checked == 4);
}

TEST_CASE("every ball stands in the scene, and nothing else changed") {
  const Seen seen;
  const auto cuts = cuts_of_feed(seen.feed, seen.cuts);
  REQUIRE(cuts.size() == 4);
  const cv::Mat all = with_balls(seen.scene, seen.feed, cuts);
  for (const Sighting& s : seen.feed.sightings) {
    CHECK(is_red(all.at<cv::Vec3b>(static_cast<int>(s.centre_px.y()),
                                   static_cast<int>(s.centre_px.x()))));
  }
  CHECK(all.at<cv::Vec3b>(200, 60) == cv::Vec3b(90, 90, 90));
  CHECK(seen.scene.at<cv::Vec3b>(100, 60) == cv::Vec3b(90, 90, 90));
}

TEST_CASE("a ball's surroundings do not cover the ball before it") {
  Seen seen;
  seen.feed.sightings.resize(2);
  seen.cuts.resize(2);
  // The second so near that the first lies where it fades out.
  const Eigen::Vector2d step(13, 0);
  seen.feed.sightings[1].centre_px = seen.feed.sightings[0].centre_px + step;
  seen.cuts[1].seen_px = seen.feed.sightings[1].centre_px;
  seen.cuts[1].corner_px = seen.cuts[0].corner_px + cv::Point(13, 0);
  const cv::Mat all = with_balls(seen.scene, seen.feed, seen.cuts);
  int red = 0;
  for (int u = 55; u <= 78; ++u) red += is_red(all.at<cv::Vec3b>(100, u));
  CHECK(red >= 23);
}

TEST_CASE("a cut of another ball or frame is not taken") {
  Seen seen;
  BallCut far = seen.cuts[0];
  far.seen_px = {300, 20};
  BallCut other = seen.cuts[1];
  other.frame = 4;
  seen.cuts = {far, other, seen.cuts[2]};
  const auto cuts = cuts_of_feed(seen.feed, seen.cuts);
  REQUIRE(cuts.size() == 1);
  CHECK(cuts[0].frame == 7);
}

TEST_CASE("after a knock the ball is moved to where the table is") {
  Seen seen;
  seen.cuts.resize(1);
  seen.cuts[0].seen_px += Eigen::Vector2d(6, -4);
  seen.cuts[0].corner_px += cv::Point(6, -4);
  const auto cuts = cuts_of_feed(seen.feed, seen.cuts);
  REQUIRE(cuts.size() == 1);
  CHECK(cuts[0].corner_px == cv::Point(46, 86));
}

TEST_CASE("marks are drawn around their place and leave its middle free") {
  for (const FlightMark mark : {FlightMark::kBounce,
                                FlightMark::kContact,
                                FlightMark::kHighest,
                                FlightMark::kNet}) {
    CAPTURE(mark_name(mark));
    cv::Mat picture(80, 80, CV_8UC3, cv::Scalar::all(90));
    draw_mark(picture, mark, {40, 36}, 12, colour_of(Leg::kIn));
    CHECK(picture.at<cv::Vec3b>(36, 40) == cv::Vec3b(90, 90, 90));
    cv::Mat changed;
    cv::inRange(
        picture, cv::Scalar(0, 150, 220), cv::Scalar(110, 220, 255), changed);
    const cv::Moments m = cv::moments(changed, true);
    REQUIRE(m.m00 > 20);
    CHECK(std::abs(m.m10 / m.m00 - 40) < 1);
    CHECK(std::abs(m.m01 / m.m00 - 36) < 4);
  }
  cv::Mat untouched(20, 20, CV_8UC3, cv::Scalar::all(90));
  draw_mark(untouched, FlightMark::kNone, {10, 10}, 5, colour_of(Leg::kIn));
  CHECK(untouched.at<cv::Vec3b>(10, 5) == cv::Vec3b(90, 90, 90));
}

TEST_CASE("a still keeps to its size, and shows the bounce enlarged") {
  Seen seen;
  cv::randu(seen.scene, cv::Scalar::all(0), cv::Scalar::all(255));  // worst
  StillOptions options;
  const std::string jpeg = draw_feed(seen.scene, 0, seen.feed, seen.cuts);
  CHECK(jpeg.size() <= static_cast<std::size_t>(options.most_bytes));
  CHECK(jpeg.size() > 2000);

  const auto near = view_of_bounce(seen.feed, {320, 240}, 0, {300, 150});
  REQUIRE(near);
  CHECK(near->scale * 14 >= 40);  // of a ball 14 pixels wide
  FlownFeed unseen = seen.feed;
  unseen.path.clear();
  CHECK_FALSE(view_of_bounce(unseen, {320, 240}, 0, {300, 150}));
  CHECK(draw_feed(seen.scene, 0, unseen, seen.cuts).size() > 2000);
}

TEST_CASE("upright or not, the same still: its sides change places") {
  const Seen seen;
  const auto size_of = [&](int turn) {
    const std::string jpeg = draw_feed(seen.scene, turn, seen.feed, seen.cuts);
    return cv::imdecode(std::vector<uchar>(jpeg.begin(), jpeg.end()),
                        cv::IMREAD_COLOR);
  };
  const cv::Mat lying = size_of(0);
  const cv::Mat standing = size_of(90);
  CHECK(lying.cols > standing.cols);
  CHECK(standing.rows > lying.rows);
}
