// SPDX-License-Identifier: MIT
// Films as phones make them: turned, 10 bits deep, HEVC, of uneven frame rate.
#include "film/video_source.h"

#include "base/error.h"
#include "film/video_samples.h"
#include "unit/film/made_film.h"

#include <algorithm>
#include <cmath>

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

// The matrix of its track header, with x negated before it turns.
void mirror_by_its_mark(const std::filesystem::path& film) {
  std::ifstream in(film, std::ios::binary);
  std::string bytes{std::istreambuf_iterator<char>(in), {}};
  const auto header = bytes.find("tkhd");
  REQUIRE(header != std::string::npos);
  for (const std::size_t at : {header + 44, header + 48}) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      value = value << 8 | static_cast<std::uint8_t>(bytes[at + i]);
    }
    value = 0U - value;
    for (std::size_t i = 0; i < 4; ++i) {
      bytes[at + i] = static_cast<char>(value >> (24 - 8 * i));
    }
  }
  std::ofstream(film, std::ios::binary) << bytes;
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

TEST_CASE("a film that is to be shown mirrored is handed out mirrored") {
  const MadeFilm film = made("mirrored");
  film.coded("flat.mp4", kH264);
  int tried = 0;
  for (const int mark : {0, 90, 180, 270}) {
    CAPTURE(mark);
    const auto path =
        film.changed("flat.mp4",
                     "turned.mp4",
                     "-c copy -metadata:s:v:0 rotate=" + std::to_string(mark));
    mirror_by_its_mark(path);
    VideoSource stored(path);
    const auto frames = all_frames(stored);
    REQUIRE(frames.size() == kFrames);
    cv::Mat mirrored;
    cv::flip(luma_of(0), mirrored, 1);
    CHECK(mean_difference(frames[0].luma, mirrored) < 2);
    REQUIRE(stored.notes().size() == 1);
    CHECK(stored.notes()[0].find("mirrored") != std::string::npos);

    // As ffmpeg shows it.
    const cv::Mat turned =
        turned_for_display(mirrored, stored.info().rotation_deg);
    const auto raw_file = film.changed(
        "turned.mp4", "upright.raw", "-f rawvideo -pix_fmt yuv420p");
    cv::Mat upright(turned.size(), CV_8UC1);
    std::ifstream(raw_file, std::ios::binary)
        .read(reinterpret_cast<char*>(upright.data),
              static_cast<long>(upright.total()));
    CHECK(mean_difference(turned, upright) < 2);
    ++tried;
  }
  CHECK(tried == 4);
}

TEST_CASE("of several picture tracks the largest is taken, and that is told") {
  const MadeFilm film = made("tracks");
  film.coded("flat.mp4", kH264);
  VideoSource alone(film.changed("flat.mp4", "alone.mp4", "-c copy"));
  check_pictures(all_frames(alone));
  CHECK(alone.notes().empty());
  VideoSource two(
      film.changed("flat.mp4",
                   "two.mp4",
                   "-filter_complex [0:v]scale=64:40[small] -map [small] -map "
                   "0:v -c:v:0 libx264 -c:v:1 copy"));
  check_pictures(all_frames(two));
  REQUIRE(two.notes().size() == 1);
  CHECK(two.notes()[0].find("1 more picture track: the one of 128 x 80") !=
        std::string::npos);
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

TEST_CASE("a picture is told from a film of one frame") {
  const MadeFilm film = made("pictures");
  for (const char* name : {"one.jpg", "one.png", "one.webp"}) {
    CAPTURE(name);
    const auto picture = film.coded(name, "-frames:v 1");
    CHECK_THROWS_WITH_AS(require_film(VideoSource(picture).info()),
                         doctest::Contains("still picture"),
                         InputError);
  }
  for (const char* name : {"one.mp4", "one.gif"}) {
    CAPTURE(name);
    const auto frame = film.coded(name, "-frames:v 1");
    CHECK_NOTHROW(require_film(VideoSource(frame).info()));
  }
}

TEST_CASE("pixels that the film says are not square come out square") {
  const MadeFilm film = made("squeezed");
  struct Kind {
    std::string aspect;
    int width, height;
    double stretch_u, stretch_v;
  };
  const std::vector<Kind> kinds = {
      {"2/1", 2 * kWidth, kHeight, 2, 1},
      {"1/2", kWidth, 2 * kHeight, 1, 2},
      {"4/3", 171, kHeight, 4.0 / 3, 1},
  };
  for (const Kind& kind : kinds) {
    CAPTURE(kind.aspect);
    VideoSource source(
        film.coded("film.mp4", "-vf setsar=" + kind.aspect + " " + kH264));
    CHECK(source.info().width_px == kind.width);
    CHECK(source.info().height_px == kind.height);
    const auto frames = all_frames(source);
    REQUIRE(frames.size() == kFrames);
    const Frame& frame = frames[6];
    CHECK(frame.luma.size() == cv::Size(kind.width, kind.height));
    CHECK(frame.blue.size() ==
          cv::Size((kind.width + 1) / 2, (kind.height + 1) / 2));
    // The middle of the square of frame 6, pixel centres at whole numbers.
    const cv::Moments seen = cv::moments(frame.luma > 150, true);
    CHECK(
        seen.m10 / seen.m00 ==
        doctest::Approx((4 + 4 * 6 + 6) * kind.stretch_u - 0.5).epsilon(0.01));
    CHECK(seen.m01 / seen.m00 ==
          doctest::Approx((32 + 6) * kind.stretch_v - 0.5).epsilon(0.01));
    REQUIRE(source.notes().size() == 1);
    CHECK(source.notes()[0].find("not square") != std::string::npos);
  }
}

TEST_CASE("a slow film's times are those at which it was taken") {
  const MadeFilm film = made("slow");
  const auto path = film.coded("film.mp4", kH264);
  VideoOptions options;
  options.slow = 8;
  VideoSource said(path, options);
  CHECK(said.info().rate_hz == doctest::Approx(480));
  auto frames = all_frames(said);
  REQUIRE(frames.size() == kFrames);
  CHECK(frames[16].t_s == doctest::Approx(16 / 480.0));
  CHECK(said.notes().empty());

  const auto tagged =
      film.changed("film.mp4",
                   "tagged.mp4",
                   "-c copy -movflags use_metadata_tags "
                   "-metadata com.android.capture.fps=240.000000");
  VideoSource by_itself(tagged);
  CHECK(by_itself.info().slow == doctest::Approx(4));
  frames = all_frames(by_itself);
  REQUIRE(frames.size() == kFrames);
  CHECK(frames[16].t_s == doctest::Approx(16 / 240.0));
  REQUIRE(by_itself.notes().size() == 1);
  CHECK(by_itself.notes()[0].find("240 frames a second") != std::string::npos);
  options.slow = 1;  // what is said stands over it
  VideoSource left(tagged, options);
  CHECK(all_frames(left)[16].t_s == doctest::Approx(16 / 60.0));
  CHECK(left.notes().empty());
  options.slow = 0;
  CHECK_THROWS_AS(VideoSource(path, options), UsageError);
}

TEST_CASE("only what a camera wrote itself plays as it was taken for certain") {
  const MadeFilm film = made("clock");
  const auto unnamed = film.coded("film.mp4", kH264);
  CHECK_FALSE(VideoSource(unnamed).info().clock_known);
  VideoOptions said;
  said.slow = 1;
  CHECK(VideoSource(unnamed, said).info().clock_known);
  const std::string named =
      "-c copy -movflags use_metadata_tags "
      "-metadata com.apple.quicktime.model=X ";
  const auto own =
      film.changed("film.mp4", "own.mov", "-fflags +bitexact " + named);
  CHECK(VideoSource(own).info().clock_known);
  // The camera's name survives what a program did to its film.
  const auto cut = film.changed("own.mov", "cut.mov", named);
  CHECK_FALSE(VideoSource(cut).info().clock_known);
}

TEST_CASE(
    "a camera that writes its rate as XML at the film's end is believed") {
  const MadeFilm film = made("xml");
  const auto with_rate = [&](const std::string& rate) {
    const auto path = film.coded("film.mp4", kH264);
    const std::string xml =
        "<VideoFrame captureFps=\"" + rate + "\" formatFps=\"59.94p\"/>";
    std::string box(4, '\0');
    box[3] = static_cast<char>(8 + xml.size());
    std::ofstream(path, std::ios::binary | std::ios::app)
        << box << "free" << xml;
    return path;
  };
  VideoSource slow(with_rate("239.76p"));
  CHECK(slow.info().slow == doctest::Approx(239.76 / 60));
  REQUIRE(all_frames(slow).size() == kFrames);
  REQUIRE(slow.notes().size() == 1);
  CHECK(slow.notes()[0].find("239.8 frames a second") != std::string::npos);
  int as_it_plays = 0;
  for (const char* rate : {"59.94p", "p", "", "1e9"}) {
    CAPTURE(rate);
    VideoSource plain(with_rate(rate));
    REQUIRE(all_frames(plain).size() == kFrames);
    CHECK(plain.notes().empty());
    as_it_plays += plain.info().slow == 1;
  }
  CHECK(as_it_plays == 4);
}

TEST_CASE(
    "whole milliseconds of a container are undone, uneven times are not") {
  const MadeFilm film = made("milliseconds");
  film.coded("film.mp4", kH264);
  VideoSource even(film.changed("film.mp4", "film.mkv", "-c copy"));
  const auto frames = all_frames(even);
  REQUIRE(frames.size() == kFrames);
  for (int i = 0; i < kFrames; ++i) {
    CHECK(std::abs(frames[static_cast<std::size_t>(i)].t_s - i / 60.0) < 1e-4);
  }
  film.coded("uneven.mp4",
             "-vf \"settb=1/1000,setpts='PTS+0.004*mod(N,3)/TB'\" -vsync vfr "
             "-enc_time_base 1:1000 -video_track_timescale 1000 " +
                 kH264);
  VideoSource uneven(film.changed("uneven.mp4", "uneven.mkv", "-c copy"));
  const auto late = all_frames(uneven);
  REQUIRE(late.size() == kFrames);
  CHECK(late[4].t_s == doctest::Approx(0.071).epsilon(1e-4));
}

TEST_CASE("a film that ends early says so, and how much is missing") {
  const MadeFilm film = made("short");
  const std::string long_film = "-vf loop=loop=9:size=24 " + kH264;
  const auto cut = [](const std::filesystem::path& path, double share) {
    const auto size = static_cast<double>(std::filesystem::file_size(path));
    std::filesystem::resize_file(path,
                                 static_cast<std::uintmax_t>(share * size));
    return path;
  };
  const auto told = [](const std::filesystem::path& path) {
    VideoSource source(path);
    const auto frames = all_frames(source);
    CHECK(frames.size() > 60);
    CHECK(frames.size() < 240);
    std::string all;
    for (const std::string& note : source.notes()) all += note + "\n";
    std::string before;
    for (const std::string& note : film_notes(path)) before += note + "\n";
    CHECK(before.find("ends early") != std::string::npos);
    return all;
  };
  int tried = 0;
  for (const std::string name :
       {"index.mp4 -movflags faststart", "film.mkv "}) {
    CAPTURE(name);
    const auto space = name.find(' ');
    const auto path =
        film.coded(name.substr(0, space), long_film + name.substr(space));
    {
      VideoSource whole(path);
      CHECK(all_frames(whole).size() == 240);
      CHECK(whole.notes().empty());
      CHECK(film_notes(path).empty());
    }
    CHECK(told(cut(path, 0.6)).find("ends early") != std::string::npos);
    ++tried;
  }
  CHECK(tried == 2);
  // Where the file tells how long it should be.
  const auto path = film.coded("part.mp4", long_film + " -movflags faststart");
  CHECK(told(cut(path, 0.6)).find("%) are missing") != std::string::npos);
  // What was cut off in an editor is not missing.
  film.coded("long.mp4", long_film + " -g 30");
  VideoSource trimmed(film.changed("long.mp4", "trim.mp4", "-ss 1 -c copy"));
  all_frames(trimmed);
  CHECK(trimmed.notes().empty());
}

TEST_CASE("the opening is sampled behind its key frames, not decoded whole") {
  const MadeFilm film = made("opening");
  const auto times = [&](const std::string& name, const std::string& keys) {
    std::vector<int> frames;
    for (const Frame& frame : sample_opening(
             film.coded(name, kH264 + " -bf 0 " + keys), 6, 16 / 60., {})) {
      frames.push_back(static_cast<int>(std::lround(60 * frame.t_s)));
    }
    return frames;
  };
  CHECK(times("keys.mp4", "-g 8 -keyint_min 8 -sc_threshold 0") ==
        std::vector<int>{0, 1, 8, 9, 16, 17});
  // A twentieth of this film is its first frame: the first ones are enough.
  CHECK(times("one.mp4", "-g 100 -sc_threshold 0") ==
        std::vector<int>{0, 1, 2, 3, 4, 5});
}
