// SPDX-License-Identifier: MIT
#include "film/join_watch.h"

#include "film/video_source.h"
#include "unit/film/made_film.h"

#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

constexpr int kWide = 320, kHigh = 160;

// A table, somebody who walks, and balls that lie where they rolled to.
cv::Mat picture_at(double walked_px, const std::vector<cv::Point>& balls) {
  cv::Mat luma(kHigh, kWide, CV_8UC1, cv::Scalar(90));
  cv::line(luma, {10, 20}, {300, 40}, cv::Scalar(230), 2, cv::LINE_AA);
  const int u = static_cast<int>(16 * walked_px);  // of a sixteenth
  cv::rectangle(luma,
                cv::Point(16 * 20 + u, 16 * 60),
                cv::Point(16 * 50 + u, 16 * 150),
                cv::Scalar(40),
                cv::FILLED,
                cv::LINE_AA,
                4);
  for (const cv::Point& ball : balls) {
    cv::circle(luma, ball, 5, cv::Scalar(240), cv::FILLED, cv::LINE_AA);
  }
  return luma;
}

const std::vector<cv::Point> kFew{{200, 140}};
const std::vector<cv::Point> kMany{{220, 60}, {250, 100}, {300, 70}};

std::vector<double> joins_of(const std::vector<cv::Mat>& pictures) {
  JoinWatch watch;
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    watch.add(pictures[i], static_cast<double>(i) / 60);
  }
  return watch.joins_s();
}

// Cut behind the 30th picture, which `last` changes.
std::vector<cv::Mat> cut_film() {
  std::vector<cv::Mat> pictures;
  for (int i = 0; i < 30; ++i) pictures.push_back(picture_at(0.5 * i, kFew));
  for (int i = 0; i < 30; ++i) {
    pictures.push_back(picture_at(100 + 0.5 * i, kMany));
  }
  return pictures;
}

}  // namespace

TEST_CASE("where things are elsewhere at once, a film was cut") {
  const auto joins_s = joins_of(cut_film());
  REQUIRE(joins_s.size() == 1);
  CHECK(joins_s[0] == doctest::Approx(30 / 60.));
}

TEST_CASE(
    "another picture in this one's place is a cut, though it is one place") {
  std::vector<cv::Mat> pictures;
  for (int i = 0; i < 60; ++i) {
    cv::Mat luma(kHigh, kWide, CV_8UC1, cv::Scalar(90));
    luma.colRange(0, kWide / 2) = 130;
    if (i >= 30) cv::rotate(luma, luma, cv::ROTATE_180);
    pictures.push_back(luma);
  }
  const auto joins_s = joins_of(pictures);
  REQUIRE(joins_s.size() == 1);
  CHECK(joins_s[0] == doctest::Approx(30 / 60.));
}

TEST_CASE("lamps over one side, switched, are no cut") {
  std::vector<cv::Mat> pictures;
  for (int i = 0; i < 60; ++i) {
    cv::Mat luma = picture_at(0.5 * i, kFew);
    if (i >= 30) luma.colRange(0, kWide / 2) *= 0.6;
    if (i >= 30) luma.colRange(kWide / 2, kWide) *= 0.9;
    pictures.push_back(luma);
  }
  CHECK(joins_of(pictures).empty());
}

TEST_CASE("people, balls, lamps, light and flashes are no cuts") {
  std::vector<cv::Mat> moving, lamp, lit, flashed;
  for (int i = 0; i < 60; ++i) {
    moving.push_back(
        picture_at(2.5 * i, {{6 * i - 20, 90}, {320 - 5 * i, 20}}));
    lamp.push_back(
        picture_at(0.5 * i, i < 30 ? kFew : std::vector<cv::Point>{}));
    lit.push_back(picture_at(0.5 * i, kFew));
    if (i >= 30) lit.back() *= 0.7;
    flashed.push_back(picture_at(0.5 * i, kFew));
    if (i == 30) flashed.back() += 60;
  }
  CHECK(joins_of(moving).empty());
  CHECK(joins_of(lamp).empty());
  CHECK(joins_of(lit).empty());
  CHECK(joins_of(flashed).empty());
}

TEST_CASE("noise and what coding makes of it are no cuts") {
  cv::RNG random(5);
  std::vector<cv::Mat> noisy;
  for (int i = 0; i < 60; ++i) {
    cv::Mat luma = picture_at(0.5 * i, kFew);
    cv::Mat noise(luma.size(), CV_8UC1);
    random.fill(noise, cv::RNG::NORMAL, 12, 6);
    luma += noise;
    noisy.push_back(luma);
  }
  CHECK(joins_of(noisy).empty());
}

TEST_CASE("what steps again and again blinks, and is no cut") {
  std::vector<cv::Mat> pictures;
  for (int i = 0; i < 300; ++i) {
    pictures.push_back(picture_at(0, i / 30 % 2 == 0 ? kFew : kMany));
  }
  CHECK(joins_of(pictures).empty());
}

TEST_CASE("a coded film tells where it was cut, when it was read") {
  const std::vector<cv::Mat> pictures = cut_film();
  std::vector<Frame> frames(pictures.size());
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    frames[i].luma = pictures[i];
    frames[i].blue = cv::Mat(kHigh / 2, kWide / 2, CV_8UC1, cv::Scalar(128));
    frames[i].red = frames[i].blue.clone();
  }
  const MadeFilm made("joined", frames);
  VideoSource source(
      made.coded("cut.mp4", "-c:v libx264 -crf 23 -pix_fmt yuv420p"));
  int count = 0;
  while (source.next()) ++count;
  CHECK(count == 60);
  const auto joins_s = source.joins_s();
  REQUIRE(joins_s.size() == 1);
  CHECK(joins_s[0] == doctest::Approx(30 / 60.).epsilon(0.01));
}
