// SPDX-License-Identifier: MIT
#include "film/repeat_watch.h"

#include "film/video_source.h"
#include "unit/film/made_film.h"

#include <string>

#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

constexpr int kWide = 320, kHigh = 160, kTaken = 40;

// A ball that flies from the 5th to the 34th picture.
cv::Mat taken(int i, int contrast) {
  cv::Mat luma(kHigh, kWide, CV_8UC1, cv::Scalar(90));
  cv::line(luma, {10, 20}, {300, 40}, cv::Scalar(230), 2, cv::LINE_AA);
  if (i < 5 || i > 34) return luma;
  cv::circle(luma,
             {9 * i - 20, 90},
             6,
             cv::Scalar(90 + contrast),
             cv::FILLED,
             cv::LINE_AA);
  return luma;
}

MadeFilm made_film(const std::string& name) {
  std::vector<Frame> frames(kTaken);
  for (int i = 0; i < kTaken; ++i) {
    Frame& frame = frames[static_cast<std::size_t>(i)];
    frame.luma = taken(i, 130);
    frame.blue = cv::Mat(kHigh / 2, kWide / 2, CV_8UC1, cv::Scalar(128));
    frame.red = frame.blue.clone();
  }
  return MadeFilm(name, frames);
}

struct Read {
  std::vector<double> flying_s;  // times of the pictures with a ball
  std::vector<std::string> notes;
};

Read read(const std::filesystem::path& film) {
  VideoSource source(film);
  Read all;
  while (const auto frame = source.next()) {
    double most = 0;
    cv::minMaxLoc(frame->luma.rowRange(70, 110), nullptr, &most);
    if (most > 180) all.flying_s.push_back(frame->t_s);
  }
  all.notes = source.notes();
  return all;
}

const std::string kCoded = " -c:v libx264 -crf 18 -pix_fmt yuv420p";

}  // namespace

TEST_CASE("of pictures that are each there twice the first is kept") {
  const MadeFilm film = made_film("twice");
  film.coded("plain.mp4", kCoded);
  const Read once = read(film.changed("plain.mp4", "once.mp4", "-c copy"));
  CHECK(once.flying_s.size() == 30);
  CHECK(once.notes.empty());

  const Read twice =
      read(film.changed("plain.mp4", "twice.mp4", "-vf fps=120" + kCoded));
  REQUIRE(twice.flying_s.size() >= 30);
  CHECK(twice.flying_s.size() <= 42);  // ten until it is sure
  for (std::size_t i = twice.flying_s.size() - 10; i > 20; --i) {
    CHECK(twice.flying_s[i] - twice.flying_s[i - 1] ==
          doctest::Approx(1 / 60.0));
  }
  REQUIRE(twice.notes.size() == 1);
  CHECK(twice.notes[0].find("repeat the one before") != std::string::npos);
  CHECK(twice.notes[0].find("mistimed") == std::string::npos);
}

TEST_CASE("pictures shown two and three times are said to be mistimed") {
  const MadeFilm film = made_film("pulldown");
  film.coded("plain.mp4", kCoded);
  const Read pulled =
      read(film.changed("plain.mp4", "pulled.mp4", "-vf fps=150" + kCoded));
  CHECK(pulled.flying_s.size() <= 50);
  REQUIRE(pulled.notes.size() == 1);
  CHECK(pulled.notes[0].find("mistimed by up to 3.3 ms") != std::string::npos);
}

TEST_CASE("a scene at rest between flights is no film of repeated pictures") {
  RepeatWatch watch;
  int left_out = 0;
  for (int i = 0; i < 20 * kTaken; ++i) {  // a flight of 5, a pause of 35
    const int of_flight = i % kTaken;
    const auto luma = std::make_shared<cv::Mat>(
        taken(of_flight < 5 ? 10 + of_flight : 0, 99));
    left_out += watch.repeats(*luma, luma, i / 60.0);
  }
  CHECK(left_out == 0);
  CHECK(watch.count() == 0);
  CHECK_FALSE(watch.many());
}

TEST_CASE("a faint ball and a noisy picture are no repeats") {
  int pictures = 0;
  for (const int contrast : {14, 20, 28}) {
    CAPTURE(contrast);
    RepeatWatch watch;
    int repeats = 0;
    for (int i = 0; i < kTaken; ++i, ++pictures) {
      const auto luma = std::make_shared<cv::Mat>(taken(i, contrast));
      repeats += watch.repeats(*luma, luma, i / 60.0);
    }
    CHECK(repeats == 0);
    CHECK_FALSE(watch.many());
  }
  cv::RNG random(3);
  RepeatWatch watch;
  for (int i = 0; i < kTaken; ++i, ++pictures) {
    const auto luma = std::make_shared<cv::Mat>(taken(i, 130));
    cv::Mat noise(luma->size(), CV_8UC1);
    random.fill(noise, cv::RNG::NORMAL, 8, 4);
    *luma += noise;
    CHECK_FALSE(watch.repeats(*luma, luma, i / 60.0));
  }
  CHECK(pictures == 4 * kTaken);
}

TEST_CASE("what moved long without repeats is not watched on") {
  RepeatWatch watch;
  int left_out = 0;
  int at = 0;
  const auto show = [&](int of_flight) {
    const auto luma = std::make_shared<cv::Mat>(taken(of_flight, 130));
    left_out += watch.repeats(*luma, luma, at++ / 60.0);
  };
  for (int i = 0; i < 320; ++i) show(6 + i % 28);
  for (int i = 0; i < 1400; ++i) show(6 + i / 2 % 28);
  CHECK(left_out == 0);
  CHECK(watch.count() == 0);
}
