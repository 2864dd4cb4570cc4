// SPDX-License-Identifier: MIT
// Films as phones make them: turned, 10 bits deep, HEVC, of uneven frame rate.
#include "vision/video_source.h"

#include "base/error.h"

#include <algorithm>

#include "unit/vision/made_film.h"
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

constexpr int kWidth = 128, kHeight = 80, kFrames = 24;
constexpr int kBlue = 150, kRed = 110;

// Smooth brightness that tells left from right and top from bottom, and a
// bright square that moves by 4 px a frame.
cv::Mat luma_of(int i) {
  cv::Mat luma(kHeight, kWidth, CV_8UC1);
  for (int v = 0; v < kHeight; ++v) {
    for (int u = 0; u < kWidth; ++u) {
      luma.at<std::uint8_t>(v, u) =
          static_cast<std::uint8_t>(40 + u / 4 + v / 2);
    }
  }
  luma(cv::Rect(4 + 4 * i, 32, 12, 12)) = 200;
  return luma;
}

MadeFilm made(const std::string& name) {
  std::vector<Frame> frames(kFrames);
  const cv::Size half(kWidth / 2, kHeight / 2);
  for (int i = 0; i < kFrames; ++i) {
    Frame& frame = frames[static_cast<std::size_t>(i)];
    frame.luma = luma_of(i);
    frame.blue = cv::Mat(half, CV_8UC1, cv::Scalar(kBlue));
    frame.red = cv::Mat(half, CV_8UC1, cv::Scalar(kRed));
  }
  return MadeFilm(name, frames);
}

const std::string kH264 = "-c:v libx264 -crf 12 -pix_fmt yuv420p";

std::vector<Frame> all_frames(VideoSource& film) {
  std::vector<Frame> frames;
  while (auto frame = film.next()) frames.push_back(std::move(*frame));
  return frames;
}

double mean_difference(const cv::Mat& a, const cv::Mat& b) {
  REQUIRE(a.size() == b.size());
  cv::Mat difference;
  cv::absdiff(a, b, difference);
  return cv::mean(difference)[0];
}

void check_pictures(const std::vector<Frame>& frames) {
  REQUIRE(frames.size() == kFrames);
  for (int i = 0; i < kFrames; ++i) {
    CAPTURE(i);
    const Frame& frame = frames[static_cast<std::size_t>(i)];
    CHECK(frame.index == i);
    CHECK(frame.t_s == doctest::Approx(i / 60.0).epsilon(1e-4));
    CHECK(mean_difference(frame.luma, luma_of(i)) < 2);
    if (i > 2) {
      CHECK(mean_difference(frame.luma, luma_of(i - 2)) > 2);
    }
    REQUIRE_FALSE(frame.blue.empty());
    CHECK(cv::mean(frame.blue)[0] == doctest::Approx(kBlue).epsilon(0.02));
    CHECK(cv::mean(frame.red)[0] == doctest::Approx(kRed).epsilon(0.02));
  }
}

}  // namespace

TEST_CASE("H.264, HEVC and their 10-bit kinds give the same 8-bit planes") {
  const MadeFilm film = made("codings");
  struct Coding {
    std::string options, codec, pixel_format;
  };
  const std::string x265 = "-c:v libx265 -x265-params log-level=none -crf 12 ";
  const std::vector<Coding> codings = {
      {kH264, "h264", "yuv420p"},
      {"-c:v libx264 -crf 12 -pix_fmt yuv420p10le", "h264", "yuv420p10le"},
      {x265 + "-pix_fmt yuv420p -tag:v hvc1", "hevc", "yuv420p"},
      {x265 + "-pix_fmt yuv420p10le -tag:v hvc1", "hevc", "yuv420p10le"},
  };
  for (const Coding& coding : codings) {
    CAPTURE(coding.options);
    VideoSource source(film.coded("film.mov", coding.options));
    CHECK(source.info().codec == coding.codec);
    CHECK(source.info().pixel_format == coding.pixel_format);
    CHECK(source.info().width_px == kWidth);
    CHECK(source.info().height_px == kHeight);
    check_pictures(all_frames(source));
    CHECK(source.notes().empty());
  }
}

TEST_CASE("a turned film keeps the sensor's rows, and says how it is turned") {
  const MadeFilm film = made("turned");
  film.coded("flat.mp4", kH264);
  std::vector<int> turns;
  for (const int mark : {0, 90, 180, 270}) {
    CAPTURE(mark);
    const auto path =
        film.changed("flat.mp4",
                     "turned.mp4",
                     "-c copy -metadata:s:v:0 rotate=" + std::to_string(mark));
    VideoSource stored(path);
    turns.push_back(stored.info().rotation_deg);
    CHECK(stored.info().width_px == kWidth);
    check_pictures(all_frames(stored));

    // Upright is what ffmpeg makes of the mark when it shows the film.
    VideoOptions options;
    options.apply_rotation = true;
    VideoSource shown(path, options);
    const auto frames = all_frames(shown);
    REQUIRE(frames.size() == kFrames);
    const cv::Size size =
        mark % 180 == 0 ? cv::Size(kWidth, kHeight) : cv::Size(kHeight, kWidth);
    CHECK(shown.info().width_px == size.width);
    CHECK(shown.info().height_px == size.height);
    const auto raw_file = film.changed(
        "turned.mp4", "upright.raw", "-f rawvideo -pix_fmt yuv420p");
    cv::Mat upright(size, CV_8UC1);
    std::ifstream(raw_file, std::ios::binary)
        .read(reinterpret_cast<char*>(upright.data),
              static_cast<long>(upright.total()));
    CHECK(mean_difference(frames[0].luma, upright) < 0.5);
    CHECK(mean_difference(
              turned_for_display(luma_of(0), stored.info().rotation_deg),
              upright) < 2);
  }
  std::sort(turns.begin(), turns.end());
  CHECK(turns == std::vector<int>{0, 90, 180, 270});
}

TEST_CASE("times of an uneven film are the container's, not counted") {
  const MadeFilm film = made("uneven");
  // Of every five frames the second and third are missing.
  VideoSource source(
      film.coded("film.mp4",
                 "-vf \"select='not(between(mod(n,5),1,2))'\" -vsync vfr "
                 "-enc_time_base 1:60 " +
                     kH264));
  const auto frames = all_frames(source);
  std::vector<int> kept;
  for (int i = 0; i < kFrames; ++i) {
    if (i % 5 != 1 && i % 5 != 2) kept.push_back(i);
  }
  REQUIRE(frames.size() == kept.size());
  for (std::size_t i = 0; i < kept.size(); ++i) {
    CAPTURE(i);
    CHECK(frames[i].t_s == doctest::Approx(kept[i] / 60.0).epsilon(1e-4));
    CHECK(mean_difference(frames[i].luma, luma_of(kept[i])) < 2);
  }
}

TEST_CASE("a film coded out of order comes out in order") {
  const MadeFilm film = made("ordered");
  VideoSource source(film.coded("film.mp4", kH264 + " -bf 3 -g 12"));
  check_pictures(all_frames(source));
}

TEST_CASE("decoding in threads or not gives the same frames") {
  const MadeFilm film = made("threads");
  const auto path = film.coded("film.mp4", kH264);
  VideoOptions plain;
  plain.decoder_threads = 1;
  plain.frames_ahead = 0;
  VideoOptions threaded;
  threaded.decoder_threads = 4;
  threaded.frames_ahead = 3;
  VideoSource a(path, plain), b(path, threaded);
  const auto one = all_frames(a), many = all_frames(b);
  REQUIRE(one.size() == kFrames);
  REQUIRE(many.size() == one.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    CHECK(one[i].t_s == many[i].t_s);
    CHECK(mean_difference(one[i].luma, many[i].luma) == 0);
  }
}

TEST_CASE("what is no film is refused with the file's name") {
  const MadeFilm film = made("refused");
  const TempDir folder("no-film");
  CHECK_THROWS_AS(VideoSource(folder / "missing.mp4"), InputError);
  std::ofstream(folder / "empty.mp4");
  CHECK_THROWS_AS(VideoSource(folder / "empty.mp4"), InputError);
  std::ofstream(folder / "text.mp4") << "feed,x_mm\n1,800\n";
  CHECK_THROWS_WITH_AS(VideoSource(folder / "text.mp4"),
                       doctest::Contains("text.mp4"),
                       InputError);
  CHECK_THROWS_AS(VideoSource(folder.path()), InputError);
  const auto sound = film.coded(
      "sound.m4a", "-f lavfi -i sine=duration=0.2 -map 1:a -c:a aac");
  CHECK_THROWS_AS(VideoSource{sound}, InputError);
}
