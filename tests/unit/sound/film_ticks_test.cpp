// SPDX-License-Identifier: MIT
#include "sound/film_ticks.h"

#include "support/temp_dir.h"

#include <cmath>
#include <cstdlib>

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace evenfeed;

namespace {

// Every half second, from 0.25 s on, a click over a little noise (invented).
constexpr const char* kClicks =
    "aevalsrc='0.002*(random(0)-0.5)+if(lt(mod(t+0.25\\,0.5)\\,0.02)\\,"
    "0.4*sin(2*PI*4000*mod(t+0.25\\,0.5))*exp(-700*mod(t+0.25\\,0.5))\\,0)"
    ":s=48000:d=4'";
constexpr const char* kPicture = "testsrc=s=64x48:r=50:d=4";

void ffmpeg(const std::string& arguments) {
  const std::string command =
      "ffmpeg -v error -nostdin -y " + arguments + " >/dev/null";
  CAPTURE(command);
  REQUIRE(std::system(command.c_str()) == 0);
}

std::string film_with(const std::string& sound, const std::string& file) {
  return fmt::format(
      "-f lavfi -i {} -f lavfi -i \"{}\" -pix_fmt yuv420p "
      "-c:v libx264 {} {}",
      kPicture,
      kClicks,
      sound,
      file);
}

// Ticks at first_s, first_s + 0.5, ..., each within `most_s`.
void check_train(const FilmTicks& heard,
                 double first_s,
                 std::size_t least,
                 double most_s) {
  CHECK(heard.why_none.empty());
  CHECK(heard.ticks.size() >= least);
  CHECK(heard.ticks.size() <= 8);
  for (const Tick& tick : heard.ticks) {
    const double off_s = std::remainder(tick.t_s - first_s, 0.5);
    CAPTURE(tick.t_s);
    CHECK(std::abs(off_s) < most_s);
  }
}

}  // namespace

TEST_CASE("clicks are heard at their time in whatever a film is stored") {
  struct Kind {
    const char* file;
    const char* sound;
    double most_s;
  };
  // AAC with its priming samples, PCM of all widths, MP3 and Opus with
  // their delays, FLAC in Matroska's milliseconds, rates and channels.
  const Kind kinds[] = {
      {"aac.mp4", "-c:a aac -b:a 96k", 3e-4},
      {"aac44.mp4", "-c:a aac -b:a 160k -ar 44100 -ac 2", 3e-4},
      {"aac.mkv", "-c:a aac -b:a 128k", 8e-4},
      {"s16.mov", "-c:a pcm_s16le", 2e-4},
      {"s24.mov", "-c:a pcm_s24le -ar 44100", 2e-4},
      {"f32.mov", "-c:a pcm_f32le -ac 6", 2e-4},
      {"u8.avi", "-c:a pcm_u8 -ar 22050", 3e-4},
      {"flac.mkv", "-c:a flac", 8e-4},
      {"mp3.mp4", "-c:a libmp3lame -b:a 192k", 5e-4},
      {"opus.mp4", "-c:a libopus", 4e-4},
  };
  const TempDir dir("film-ticks");
  int kinds_run = 0;
  for (const Kind& kind : kinds) {
    CAPTURE(std::string(kind.file));
    const std::string file = (dir / kind.file).string();
    ffmpeg(film_with(kind.sound, file));
    check_train(ticks_of_film(file), 0.25, 8, kind.most_s);
    ++kinds_run;
  }
  CHECK(kinds_run == 10);
}

TEST_CASE("offsets, edit lists and gaps move nothing") {
  const TempDir dir("film-ticks-moved");
  const std::string whole = (dir / "whole.mp4").string();
  ffmpeg(film_with("-c:a aac -b:a 128k -g 50", whole));
  SUBCASE("sound that begins late") {
    const std::string file = (dir / "late.mp4").string();
    ffmpeg(
        fmt::format("-i {0} -itsoffset 0.3 -i {0} -map 0:v -map 1:a -c copy "
                    "{1}",
                    whole,
                    file));
    const FilmTicks heard = ticks_of_film(file);
    // Its edit list counts in milliseconds.
    check_train(heard, 0.05, 8, 1.2e-3);
    CHECK(heard.from_s == doctest::Approx(0.3).epsilon(0.1));
  }
  SUBCASE("sound that begins early") {
    const std::string file = (dir / "early.mkv").string();
    ffmpeg(
        fmt::format("-itsoffset 0.3 -i {0} -i {0} -map 0:v -map 1:a -c copy "
                    "{1}",
                    whole,
                    file));
    const FilmTicks heard = ticks_of_film(file);
    check_train(heard, 0.45, 8, 8e-4);
    CHECK(heard.ticks.front().t_s < 0);
  }
  SUBCASE("cut out of a longer film, an edit list hides the rest") {
    const std::string file = (dir / "cut.mp4").string();
    ffmpeg(fmt::format("-ss 1.1 -i {} -c copy {}", whole, file));
    check_train(ticks_of_film(file), 0.15, 5, 3e-4);
  }
  SUBCASE("a second of it is missing") {
    const std::string file = (dir / "gap.mkv").string();
    ffmpeg(
        fmt::format("-i {} -c copy -bsf:a "
                    "\"noise=drop=between(n\\,70\\,116)\" {}",
                    whole,
                    file));
    check_train(ticks_of_film(file), 0.25, 5, 8e-4);
  }
}

TEST_CASE("why nothing is heard is said") {
  const TempDir dir("film-ticks-none");
  const std::string file = (dir / "film.mp4").string();
  const std::string picture =
      fmt::format("-f lavfi -i {} -pix_fmt yuv420p -c:v libx264", kPicture);
  ffmpeg(picture + " " + file);
  CHECK(ticks_of_film(file).why_none == "the film has no sound");
  ffmpeg(
      fmt::format("-i {0} -f lavfi -i anullsrc=r=48000 -shortest -c:v copy "
                  "-c:a aac {1}",
                  file,
                  (dir / "silent.mp4").string()));
  const FilmTicks silent = ticks_of_film(dir / "silent.mp4");
  CHECK(silent.why_none == "its sound track is silent");
  CHECK(silent.ticks.empty());
  ffmpeg(
      fmt::format("-i {0} -f lavfi -i \"sine=f=900:r=48000\" -shortest "
                  "-c:v copy -c:a pcm_s16le {1}",
                  file,
                  (dir / "tone.mov").string()));
  CHECK(ticks_of_film(dir / "tone.mov").why_none ==
        "no ticks are heard in its sound");
}
