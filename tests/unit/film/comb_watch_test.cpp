// SPDX-License-Identifier: MIT
#include "film/comb_watch.h"

#include "base/error.h"
#include "film/video_source.h"
#include "unit/film/made_film.h"

#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

constexpr int kCombWidth = 320, kHeight = 160, kPictures = 40;

// Steady lines of one row and a mesh, with a ball that flies across.
cv::Mat picture_at(double t) {
  cv::Mat luma(kHeight, kCombWidth, CV_8UC1, cv::Scalar(60));
  for (int v = 100; v < 130; v += 3) luma.row(v).setTo(120);
  cv::line(luma, {10, 20}, {300, 40}, cv::Scalar(230), 1, cv::LINE_AA);
  const int u = static_cast<int>(18 * t) % (kCombWidth + 40) - 20;
  cv::circle(luma, {u, 90}, 9, cv::Scalar(235), cv::FILLED, cv::LINE_AA);
  return luma;
}

// Even rows of one moment, odd rows of the next.
cv::Mat woven_at(int i) {
  cv::Mat woven = picture_at(2 * i);
  const cv::Mat later = picture_at(2 * i + 1);
  for (int v = 1; v < woven.rows; v += 2) later.row(v).copyTo(woven.row(v));
  return woven;
}

MadeFilm made_combed(const std::string& name, bool interlaced) {
  std::vector<Frame> frames(kPictures);
  for (int i = 0; i < kPictures; ++i) {
    Frame& frame = frames[static_cast<std::size_t>(i)];
    frame.luma = interlaced ? woven_at(i) : picture_at(i);
    frame.blue = cv::Mat(kHeight / 2, kCombWidth / 2, CV_8UC1, cv::Scalar(128));
    frame.red = frame.blue.clone();
  }
  return MadeFilm(name, frames);
}

int frames_of(VideoSource& film) {
  int count = 0;
  while (film.next()) ++count;
  return count;
}

}  // namespace

TEST_CASE("what moves in woven pictures is torn, in whole ones it is not") {
  CombWatch whole;
  CombWatch woven;
  for (int i = 0; i < kPictures; ++i) {
    whole.add(picture_at(i));
    woven.add(woven_at(i));
  }
  CHECK(whole.sure());
  CHECK_FALSE(whole.torn());
  CHECK(woven.sure());
  CHECK(woven.torn());

  CombWatch still;  // nothing moves: nothing can be said
  for (int i = 0; i < kPictures; ++i) still.add(woven_at(3));
  CHECK_FALSE(still.sure());
  CHECK_FALSE(still.torn());
}

TEST_CASE("an interlaced film is refused, marked or not, with the remedy") {
  const std::string h264 = "-c:v libx264 -crf 16 -pix_fmt yuv420p ";
  const MadeFilm woven = made_combed("woven", true);
  const auto marked =
      woven.coded("marked.mp4", "-vf setfield=tff -flags +ilme+ildct " + h264);
  const auto unmarked = woven.coded("unmarked.mp4", h264);
  const auto says = [](const char* words) { return doctest::Contains(words); };
  CHECK_THROWS_WITH_AS(VideoSource{marked}, says("interlaced"), InputError);
  CHECK_THROWS_WITH_AS(VideoSource{marked}, says("bwdif"), InputError);
  VideoSource source(unmarked);
  CHECK_THROWS_WITH_AS(frames_of(source), says("torn into a comb"), InputError);

  const auto taken_apart = woven.changed(
      "marked.mp4", "fields.mp4", "-vf bwdif=mode=send_field " + h264);
  VideoSource fields(taken_apart);
  CHECK(frames_of(fields) == 2 * kPictures);
  const MadeFilm plain = made_combed("whole", false);
  VideoSource whole(plain.coded("whole.mp4", h264));
  CHECK(frames_of(whole) == kPictures);
}

TEST_CASE("either mark of an interlaced film is enough") {
  const std::string h264 = "-c:v libx264 -crf 16 -pix_fmt yuv420p ";
  const MadeFilm whole =
      made_combed("marks", false);  // nothing torn gives it away
  const auto says = doctest::Contains("interlaced (says the film)");
  const auto by_film = whole.coded("film.mkv", "-field_order tt " + h264);
  CHECK_THROWS_WITH_AS(VideoSource{by_film}, says, InputError);
  whole.coded("marked.mp4", "-vf setfield=tff -flags +ilme+ildct " + h264);
  const auto by_pictures = whole.changed(
      "marked.mp4", "pictures.mkv", "-c copy -field_order progressive ");
  CHECK_THROWS_WITH_AS(VideoSource{by_pictures}, says, InputError);
}
