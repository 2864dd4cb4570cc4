// SPDX-License-Identifier: MIT
#include "film/colour_picture.h"

#include "film/film_stretch.h"
#include "film/median_frame.h"
#include "film/video_source.h"
#include "unit/film/made_film.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Frame plain_frame(int y, int cb, int cr) {
  Frame frame;
  frame.luma = cv::Mat(8, 10, CV_8UC1, cv::Scalar(y));
  frame.blue = cv::Mat(4, 5, CV_8UC1, cv::Scalar(cb));
  frame.red = cv::Mat(4, 5, CV_8UC1, cv::Scalar(cr));
  return frame;
}

void check_near(const cv::Vec3b& is, const cv::Vec3b& should, int most) {
  for (int c = 0; c < 3; ++c) CHECK(std::abs(is[c] - should[c]) <= most);
}

}  // namespace

TEST_CASE("red, green and blue of the standards") {
  // From memory: the 8-bit codes of full red, green and blue for ITU-R BT.601
  // and BT.709, which the equations in the header give too.
  struct Case {
    ColourCode::Matrix matrix;
    int y, cb, cr;
    cv::Vec3b bgr;
  };
  using M = ColourCode::Matrix;
  const Case cases[] = {{M::kBt601, 81, 90, 240, {0, 0, 255}},
                        {M::kBt601, 145, 54, 34, {0, 255, 0}},
                        {M::kBt601, 41, 240, 110, {255, 0, 0}},
                        {M::kBt709, 63, 102, 240, {0, 0, 255}},
                        {M::kBt709, 173, 42, 26, {0, 255, 0}},
                        {M::kBt709, 32, 240, 118, {255, 0, 0}}};
  for (const Case& one : cases) {
    CAPTURE(one.y);
    const cv::Mat picture =
        colour_picture(plain_frame(one.y, one.cb, one.cr), {one.matrix, false});
    CHECK(picture.size() == cv::Size(10, 8));
    check_near(picture.at<cv::Vec3b>(3, 4), one.bgr, 3);
    const YuvPicture back = yuv_of(picture, {one.matrix, false});
    CHECK(std::abs(back.y[0] - one.y) <= 2);
    CHECK(std::abs(back.u[0] - one.cb) <= 2);
    CHECK(std::abs(back.v[0] - one.cr) <= 2);
  }
  check_near(colour_picture(plain_frame(255, 128, 128), {M::kBt709, true})
                 .at<cv::Vec3b>(0, 0),
             {255, 255, 255},
             0);
}

TEST_CASE("a film without colour is grey, a wrong area a bug") {
  Frame grey = plain_frame(126, 0, 0);
  grey.blue = cv::Mat();
  grey.red = cv::Mat();
  const cv::Vec3b pixel = colour_picture(grey, {}).at<cv::Vec3b>(0, 0);
  CHECK(pixel[0] == pixel[1]);
  CHECK(pixel[1] == pixel[2]);
  CHECK_THROWS_AS(colour_picture(grey, {5, 5, 10, 10}, {}), std::logic_error);
}

TEST_CASE("films of 8 and 10 bits, of every code, in their right colours") {
  // A red and a blue half, coded by ffmpeg from RGB: an implementation of the
  // same standards that is not ours.
  const MadeFilm made("colour-film", {plain_frame(90, 128, 128)});
  const auto folder = made.coded("any.mkv", "-c:v ffv1").parent_path();
  struct Case {
    const char* name;
    const char* options;
  };
  int films = 0;
  for (const Case& one : std::initializer_list<Case>{
           {"8.mp4",
            "-vf scale=out_color_matrix=bt709 -c:v libx264 -crf 5 "
            "-pix_fmt yuv420p -colorspace bt709"},
           {"601.mp4",
            "-vf scale=out_color_matrix=bt601 -c:v libx264 -crf 5 "
            "-pix_fmt yuv420p -colorspace smpte170m"},
           {"unsaid.mp4",
            "-vf scale=out_color_matrix=bt601 -c:v libx264 -crf "
            "5 -pix_fmt yuv420p"},
           {"10.mp4",
            "-vf scale=out_color_matrix=bt709 -c:v libx265 "
            "-x265-params log-level=none -crf 5 -pix_fmt "
            "yuv420p10le -colorspace bt709"},
           {"2020.mp4",
            "-vf scale=out_color_matrix=bt2020 -c:v libx265 "
            "-x265-params log-level=none -crf 5 -pix_fmt "
            "yuv420p10le -colorspace bt2020nc"},
           {"full.mp4",
            "-vf scale=out_color_matrix=bt709:out_range=pc -c:v libx264 -crf "
            "5 -pix_fmt yuv420p -colorspace bt709 -color_range pc"}}) {
    CAPTURE(one.name);
    const std::string command = fmt::format(
        "ffmpeg -v error -nostdin -y -f lavfi -i "
        "color=c=0xC02818:s=80x96:d=0.2:r=30,format=rgb24 -f lavfi "
        "-i color=c=0x1840B0:s=80x96:d=0.2:r=30,format=rgb24 "
        "-filter_complex hstack -c:v ffv1 -pix_fmt bgr0 "
        "{0}/rgb.mkv && ffmpeg -v error -nostdin -y -i {0}/rgb.mkv "
        "{1} {0}/{2}",
        folder.string(),
        one.options,
        one.name);
    REQUIRE(std::system(command.c_str()) == 0);
    VideoSource film(folder / one.name);
    const auto frame = film.next();
    REQUIRE(frame);
    const cv::Mat picture = colour_picture(*frame, film.info().colours);
    check_near(picture.at<cv::Vec3b>(48, 40), {0x18, 0x28, 0xC0}, 5);
    check_near(picture.at<cv::Vec3b>(48, 120), {0xB0, 0x40, 0x18}, 5);
    ++films;
  }
  CHECK(films == 6);
}

TEST_CASE("what moves is not in the scene, in any plane") {
  std::vector<Frame> frames;
  for (int i = 0; i < 5; ++i) {
    frames.push_back(plain_frame(90, 110, 140));
    frames.back().luma.at<uchar>(3, i) = 255;
    frames.back().blue.at<uchar>(1, i) = 10;
  }
  const Frame still = median_frame(frames);
  CHECK(cv::countNonZero(still.luma != 90) == 0);
  CHECK(cv::countNonZero(still.blue != 110) == 0);
  CHECK(cv::countNonZero(still.red != 140) == 0);
  frames[2].red = cv::Mat();
  CHECK(median_frame(frames).red.empty());
}
