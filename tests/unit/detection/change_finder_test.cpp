// SPDX-License-Identifier: MIT
#include "detection/change_finder.h"

#include "base/random.h"
#include "detection/ball_detector.h"

#include <random>

#include <doctest/doctest.h>
#include <opencv2/core.hpp>

using namespace evenfeed;

namespace {

constexpr int kWidth = 160;
constexpr int kHeight = 128;
constexpr uchar kGrey = 100;

cv::Mat noisy_picture(double noise, std::uint64_t seed) {
  RandomEngine random = derived_engine(seed, "noisy picture");
  std::normal_distribution<double> normal(0, 1);
  cv::Mat picture(kHeight, kWidth, CV_8U);
  for (int v = 0; v < kHeight; ++v) {
    for (int u = 0; u < kWidth; ++u) {
      picture.at<uchar>(v, u) =
          cv::saturate_cast<uchar>(kGrey + noise * normal(random));
    }
  }
  return picture;
}

// A background that has seen a hundred frames of such noise.
Background background_in(double noise) {
  Background background({}, PictureRegion(kWidth, kHeight));
  background.learn({cv::Mat(kHeight, kWidth, CV_8U, cv::Scalar(kGrey))});
  for (std::uint64_t i = 0; i < 100; ++i) {
    const cv::Mat picture = noisy_picture(noise, i);
    background.begin_frame(picture);
    background.end_frame(picture, static_cast<double>(i) / 50);
  }
  return background;
}

ChangeFinder finder(ChangeSign sign = ChangeSign::kUp) {
  constexpr BandLook kLook{2, 8};
  constexpr double kQuiet = 7.5;
  return ChangeFinder(
      kWidth,
      std::vector<BandLook>(static_cast<std::size_t>(cells_across(kHeight)),
                            kLook),
      kQuiet,
      sign);
}

// Far beyond any threshold.
void brighten(cv::Mat& picture, const cv::Rect& where) {
  picture(where) = cv::Scalar(kGrey + 90);
}

cv::Mat flat() { return cv::Mat(kHeight, kWidth, CV_8U, cv::Scalar(kGrey)); }

}  // namespace

TEST_CASE("a speck is a change where it is quiet, and none where it is noisy") {
  cv::Mat speck = flat();
  brighten(speck, cv::Rect(66, 34, 3, 4));  // six of the compared pixels
  Background quiet = background_in(1);
  quiet.begin_frame(speck);
  ChangeFinder in_quiet = finder();
  const auto& areas = in_quiet.find(speck, quiet);
  REQUIRE(areas.size() == 1);
  CHECK(areas[0].box == cv::Rect(64, 32, 8, 8));
  CHECK(areas[0].pixels == 12);
  Background noisy = background_in(6);
  noisy.begin_frame(speck);
  ChangeFinder in_noise = finder();
  CHECK(in_noise.find(speck, noisy).empty());
}

TEST_CASE("only what a ball does to the plane is a change") {
  cv::Mat picture = flat();
  brighten(picture, cv::Rect(66, 34, 8, 8));
  picture(cv::Rect(20, 50, 8, 8)) = cv::Scalar(kGrey - 60);
  Background quiet = background_in(1);
  quiet.begin_frame(picture);
  const auto seen = [&](ChangeSign sign) {
    std::vector<int> from_px;
    ChangeFinder found = finder(sign);
    for (const ChangedArea& area : found.find(picture, quiet)) {
      from_px.push_back(area.box.x);
    }
    return from_px;
  };
  CHECK(seen(ChangeSign::kUp) == std::vector<int>{64});
  CHECK(seen(ChangeSign::kDown) == std::vector<int>{16});
  CHECK(seen(ChangeSign::kEither) == std::vector<int>{64, 16});
}

TEST_CASE("in noise a ball is a change wherever it lies in its cells") {
  Background noisy = background_in(6);
  int found = 0;
  for (int offset = 0; offset < 8; ++offset) {
    cv::Mat ball = flat();
    brighten(ball, cv::Rect(64 + offset, 32 + offset, 10, 10));
    noisy.begin_frame(ball);
    ChangeFinder in_noise = finder();
    found += in_noise.find(ball, noisy).size() == 1;
  }
  CHECK(found == 8);
}

TEST_CASE("specks scattered over a ball's way are not fitted") {
  BallDetector detector({}, kWidth, kHeight);
  Frame still;
  still.luma = flat();
  detector.learn({still});
  Frame frame;
  frame.luma = flat();
  for (int i = 0; i < 12; ++i) {
    brighten(frame.luma, cv::Rect(20 + 10 * i, 50 + 17 * (i % 3), 3, 3));
  }
  CHECK(detector.detect(frame).empty());
  const DetectorCounts counts = detector.counts();
  CHECK(counts.candidates == 3);  // three rows of specks
  CHECK(counts.misfit == 3);
  CHECK(counts.no_fit + counts.wrong_size + counts.faint == 0);
}
