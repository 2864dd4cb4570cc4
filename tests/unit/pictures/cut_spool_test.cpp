// SPDX-License-Identifier: MIT
#include "pictures/cut_spool.h"

#include "base/error.h"
#include "support/temp_dir.h"

#include <filesystem>

#include <doctest/doctest.h>
#include <opencv2/core.hpp>

using namespace evenfeed;

namespace {

Frame frame_of(int index, int luma) {
  Frame frame;
  frame.index = index;
  frame.luma = cv::Mat(120, 160, CV_8UC1, cv::Scalar(luma));
  frame.blue = cv::Mat(60, 80, CV_8UC1, cv::Scalar(128));
  frame.red = cv::Mat(60, 80, CV_8UC1, cv::Scalar(128));
  return frame;
}

Sighting ball_at(double u, double v) {
  Sighting s;
  s.centre_px = {u, v};
  s.diameter_px = 10;
  return s;
}

}  // namespace

TEST_CASE("cuts come back in order, from where the ball was") {
  const TempDir folder("cut-spool");
  CutSpool spool(folder.path());
  CHECK(std::filesystem::is_empty(folder.path()));  // its file has no name
  ColourCode full;
  full.full_range = true;
  for (int i = 0; i < 50; ++i) {
    spool.add(frame_of(i, 100 + i), {ball_at(80, 60), ball_at(3, 118)});
  }
  spool.rewind(full);
  for (int i = 0; i < 50; ++i) {
    CAPTURE(i);
    const auto middle = spool.next();
    const auto corner = spool.next();
    REQUIRE(middle);
    REQUIRE(corner);
    CHECK(middle->frame == i);
    CHECK(middle->seen_px == Eigen::Vector2d(80, 60));
    CHECK(middle->picture.cols >= 18);
    const cv::Point centre =
        middle->corner_px +
        cv::Point(middle->picture.cols / 2, middle->picture.rows / 2);
    CHECK(std::abs(centre.x - 80) <= 1);
    CHECK(std::abs(centre.y - 60) <= 1);
    const cv::Vec3b pixel = middle->picture.at<cv::Vec3b>(9, 9);
    for (int c = 0; c < 3; ++c) CHECK(std::abs(pixel[c] - (100 + i)) <= 1);
    CHECK(corner->corner_px.x == 0);
    CHECK(corner->corner_px.y + corner->picture.rows == 120);
  }
  CHECK_FALSE(spool.next());
  CHECK(spool.broken().empty());
}

TEST_CASE("frames full of sightings are noise, and not kept") {
  const TempDir folder("cut-noise");
  CutSpool spool(folder.path());
  spool.add(frame_of(0, 90), std::vector<Sighting>(100, ball_at(80, 60)));
  spool.rewind({});
  CHECK_FALSE(spool.next());
}

TEST_CASE("more than may be kept: what was kept stays, and it is said why") {
  const TempDir folder("cut-limit");
  CutSpool spool(folder.path(), 2000);
  for (int i = 0; i < 50; ++i) spool.add(frame_of(i, 90), {ball_at(80, 60)});
  CHECK(spool.broken() == "too much moves in the film");
  spool.rewind({});
  int kept = 0;
  while (const auto cut = spool.next()) CHECK(cut->frame == kept++);
  CHECK(kept > 2);
  CHECK(kept < 10);
}

TEST_CASE("a folder that is not there is named") {
  const TempDir folder("cut-nowhere");
  CHECK_THROWS_AS(CutSpool(folder / "absent"), InputError);
}
