// SPDX-License-Identifier: MIT
#include "pictures/feed_clip.h"

#include "base/error.h"
#include "film/video_source.h"
#include "unit/film/made_film.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr int kFrames = 90;
constexpr double kRate_hz = 60;

// Frame i has brightness 40 + 2 i.
std::vector<Frame> counted_frames() {
  std::vector<Frame> frames(kFrames);
  for (int i = 0; i < kFrames; ++i) {
    Frame& frame = frames[static_cast<std::size_t>(i)];
    frame.luma = cv::Mat(120, 160, CV_8UC1, cv::Scalar(40 + 2 * i));
    frame.blue = cv::Mat(60, 80, CV_8UC1, cv::Scalar(128));
    frame.red = cv::Mat(60, 80, CV_8UC1, cv::Scalar(128));
  }
  return frames;
}

CameraModel still_camera() {
  CameraModel camera;
  camera.width_px = 160;
  camera.height_px = 120;
  return camera;
}

struct Shown {
  std::vector<int> frames;  ///< which frame of the film
  std::vector<double> t_s;
  VideoInfo info;
};

Shown read_back(const std::filesystem::path& clip) {
  Shown shown;
  VideoSource film(clip);
  shown.info = film.info();
  while (const auto frame = film.next()) {
    const double bright = frame->luma.at<uchar>(100, 140);
    shown.frames.push_back(static_cast<int>(std::lround((bright - 40) / 2)));
    shown.t_s.push_back(frame->t_s);
  }
  return shown;
}

// Exactly representable times lie between frames.
ClipPart part(int first, int last) {
  ClipPart part;
  part.from_s = (first - 0.4) / kRate_hz;
  part.until_s = (last + 0.4) / kRate_hz;
  return part;
}

// ffprobe's answer about the sound; empty without any.
std::string sound_of(const std::filesystem::path& clip) {
  const std::string command =
      "ffprobe -v error -select_streams a -show_entries "
      "stream=codec_name,duration -of csv=p=0 " +
      clip.string();
  std::string text;
  FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  char buffer[256];
  while (std::fgets(buffer, sizeof buffer, pipe) != nullptr) text += buffer;
  CHECK(pclose(pipe) == 0);
  return text;
}

}  // namespace

TEST_CASE("a clip has exactly the frames of its part") {
  const MadeFilm made("clip-frames", counted_frames());
  // Key frames far apart and reordered pictures make cutting hard.
  const auto film = made.coded("film.mp4", "-c:v libx264 -crf 8 -g 25 -bf 2");
  const auto clip = film.parent_path() / "clip.mp4";
  for (const bool plain : {true, false}) {
    CAPTURE(plain);
    ClipOptions options;
    options.plain = plain;
    options.crf = 8;
    const ClipMade cut =
        write_clip(film, part(37, 61), still_camera(), clip, options);
    CHECK(cut.frames == 25);
    CHECK(cut.first_s == doctest::Approx(37 / kRate_hz).epsilon(1e-3));
    const Shown shown = read_back(clip);
    REQUIRE(shown.frames.size() == 25);
    for (int i = 0; i < 25; ++i) {
      CHECK(shown.frames[static_cast<std::size_t>(i)] == 37 + i);
    }
    CHECK(shown.t_s.back() == doctest::Approx(24 / kRate_hz).epsilon(1e-3));
    CHECK(shown.info.codec == "h264");
  }
}

TEST_CASE("slowed, every frame is shown as often, and none is invented") {
  const MadeFilm made("clip-slow", counted_frames());
  const auto film = made.coded("film.mp4", "-c:v libx264 -crf 8 -g 25");
  const auto clip = film.parent_path() / "clip.mp4";
  ClipOptions options;
  options.slow = 4;
  options.plain = true;
  options.crf = 8;
  const ClipMade cut =
      write_clip(film, part(10, 19), still_camera(), clip, options);
  CHECK(cut.frames == 10);
  const Shown shown = read_back(clip);
  REQUIRE(shown.frames.size() == 40);
  for (int i = 0; i < 40; ++i) {
    CAPTURE(i);
    CHECK(shown.frames[static_cast<std::size_t>(i)] == 10 + i / 4);
    CHECK(std::abs(shown.t_s[static_cast<std::size_t>(i)] - i / kRate_hz) <
          1e-4);
  }
}

TEST_CASE("sound is kept at natural speed and left out of slow motion") {
  const MadeFilm made("clip-sound", counted_frames());
  made.coded("silent.mp4", "-c:v libx264 -crf 8 -g 25");
  const auto film =
      made.changed("silent.mp4",
                   "film.mp4",
                   "-f lavfi -i sine=frequency=440:duration=1.5 -map 0:v -map "
                   "1:a -c:v copy -c:a aac");
  const auto clip = film.parent_path() / "clip.mp4";
  const ClipMade natural =
      write_clip(film, part(30, 69), still_camera(), clip, {});
  CHECK(natural.sound_left_out.empty());
  const std::string sound = sound_of(clip);
  REQUIRE(sound.rfind("aac,", 0) == 0);
  // 40 frames; packets of AAC are 23 ms at 44.1 kHz.
  CHECK(std::abs(std::stod(sound.substr(4)) - 40 / kRate_hz) < 0.06);

  ClipOptions slow;
  slow.slow = 2;
  const ClipMade slowed =
      write_clip(film, part(30, 69), still_camera(), clip, slow);
  CHECK(slowed.sound_left_out == "a slowed film has no sound");
  CHECK(sound_of(clip).empty());

  const auto silent = film.parent_path() / "silent.mp4";
  CHECK(write_clip(silent, part(30, 69), still_camera(), clip, {})
            .sound_left_out.empty());
  CHECK(sound_of(clip).empty());
}

TEST_CASE("the flight grows with the film") {
  const MadeFilm made("clip-trail", counted_frames());
  const auto film = made.coded("film.mp4", "-c:v libx264 -crf 8 -g 25");
  const auto clip = film.parent_path() / "clip.mp4";
  ClipPart cut = part(5, 44);
  for (int i = 0; i <= 30; ++i) {
    FlownPoint point;
    point.t_s = (5 + i) / kRate_hz;
    point.film_px = {20.0 + 4 * i, 60};
    cut.feed.path.push_back(point);
  }
  CameraModel camera = still_camera();
  const auto half = flown_until(cut.feed, camera, 15.5 / kRate_hz);
  REQUIRE(half.size() == 12);
  CHECK(half.back().film_px.x() == doctest::Approx(62).epsilon(1e-6));
  CHECK(flown_until(cut.feed, camera, 0).empty());
  CHECK(flown_until(cut.feed, camera, 2).size() == 31);
  // A row half way down is read half of the readout later.
  camera.readout_s = 1 / kRate_hz;
  const auto later = flown_until(cut.feed, camera, 15.5 / kRate_hz);
  CHECK(later.back().film_px.x() == doctest::Approx(64).epsilon(1e-6));

  (void)write_clip(film, cut, still_camera(), clip, {});
  VideoSource shown(clip);
  int drawn = 0;
  while (const auto frame = shown.next()) {
    const auto bright_at = [&](int u) {
      return frame->luma.at<uchar>(60, u) >
             frame->luma.at<uchar>(100, 140) + 30;
    };
    CHECK(bright_at(30) == (frame->index >= 3));
    CHECK(bright_at(110) == (frame->index >= 23));
    drawn += bright_at(30) ? 1 : 0;
  }
  CHECK(drawn > 30);
}

TEST_CASE("a turned film comes out upright") {
  std::vector<Frame> frames = counted_frames();
  for (Frame& frame : frames) {
    frame.luma(cv::Rect(0, 0, 160, 20)).setTo(235);  // stored upper edge
  }
  const MadeFilm made("clip-turned", frames);
  made.coded("lying.mp4", "-c:v libx264 -crf 8");
  const auto film = made.changed(
      "lying.mp4", "turned.mp4", "-c copy -metadata:s:v:0 rotate=90");
  const int turn = VideoSource(film).info().rotation_deg;
  REQUIRE(turn % 180 == 90);
  const auto clip = film.parent_path() / "clip.mp4";
  for (const bool plain : {true, false}) {
    CAPTURE(plain);
    ClipOptions options;
    options.plain = plain;
    (void)write_clip(film, part(10, 12), still_camera(), clip, options);
    VideoSource shown(clip);
    CHECK(shown.info().width_px == 120);
    CHECK(shown.info().height_px == 160);
    CHECK(shown.info().rotation_deg == 0);
    const auto frame = shown.next();
    REQUIRE(frame);
    const int right = turn == 90 ? 112 : 8;  // where the upper edge went
    CHECK(frame->luma.at<uchar>(80, right) > 200);
    CHECK(frame->luma.at<uchar>(80, 119 - right) < 120);
  }
}

TEST_CASE("what cannot be cut or written is refused") {
  const MadeFilm made("clip-refused", counted_frames());
  const auto film = made.coded("film.mp4", "-c:v libx264 -crf 8");
  CHECK_THROWS_WITH_AS(write_clip(film,
                                  part(500, 510),
                                  still_camera(),
                                  film.parent_path() / "clip.mp4",
                                  {}),
                       doctest::Contains("there is no picture from"),
                       InputError);
  CHECK_THROWS_AS(write_clip(film,
                             part(5, 10),
                             still_camera(),
                             film.parent_path() / "absent" / "clip.mp4",
                             {}),
                  InputError);
  // A disk that is always full.
  const auto full = film.parent_path() / "full.mp4";
  std::filesystem::create_symlink("/dev/full", full);
  CHECK_THROWS_WITH_AS(write_clip(film, part(5, 10), still_camera(), full, {}),
                       doctest::Contains("the disk is not full"),
                       InputError);
}
