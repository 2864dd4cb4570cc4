// SPDX-License-Identifier: MIT
#include "pipeline/film_sightings.h"

#include "base/error.h"
#include "unit/detection/filmed_ball.h"
#include "unit/film/made_film.h"

using namespace evenfeed;

namespace {

constexpr int kFrames = 70;

// Two balls, one after the other, each with colour.
MadeFilm made(const std::string& name) {
  Filming filming;
  filming.ball_red = 30;
  std::vector<Frame> frames;
  for (int i = 0; i < kFrames; ++i) {
    std::optional<PaintedBall> ball;
    if (i % 35 >= 20) {
      ball.emplace();
      ball->centre_px = {20.3 + 11.2 * (i % 35 - 20), 60.0 + i / 10.0};
      ball->streak_px = {4, 0.5};
      ball->radius_px = 8;
    }
    frames.push_back(filming.frame(ball));
  }
  return MadeFilm(name, frames);
}

std::vector<FrameSightings> all_sightings(const std::filesystem::path& path,
                                          bool in_threads,
                                          int decoder_threads) {
  VideoOptions options;
  options.decoder_threads = decoder_threads;
  options.frames_ahead = in_threads ? 2 : 0;
  VideoSource film(path, options);
  BallDetector detector({}, film.info().width_px, film.info().height_px);
  detector.learn(opening_stills(path));
  FilmSightings source(film, detector, in_threads);
  std::vector<FrameSightings> all;
  while (auto frame = source.next()) all.push_back(std::move(*frame));
  CHECK_FALSE(source.next().has_value());
  return all;
}

}  // namespace

TEST_CASE("threads change nothing: the same sightings to the last bit") {
  const MadeFilm made_film = made("same-sightings");
  const auto path =
      made_film.coded("film.mp4", "-c:v libx264 -crf 18 -pix_fmt yuv420p");
  const auto alone = all_sightings(path, false, 1);
  REQUIRE(alone.size() == kFrames);
  std::size_t seen = 0;
  for (const FrameSightings& frame : alone) seen += frame.sightings.size();
  CHECK(seen >= 28);
  CHECK(seen <= 32);
  for (const int threads : {1, 2, 4}) {
    CAPTURE(threads);
    const auto many = all_sightings(path, true, threads);
    REQUIRE(many.size() == alone.size());
    for (std::size_t i = 0; i < alone.size(); ++i) {
      CAPTURE(i);
      CHECK(many[i].index == alone[i].index);
      CHECK(many[i].t_s == alone[i].t_s);
      REQUIRE(many[i].sightings.size() == alone[i].sightings.size());
      for (std::size_t k = 0; k < alone[i].sightings.size(); ++k) {
        const Sighting& a = alone[i].sightings[k];
        const Sighting& b = many[i].sightings[k];
        CHECK(a.centre_px == b.centre_px);
        CHECK(a.sigma_px == b.sigma_px);
        CHECK(a.diameter_px == b.diameter_px);
        CHECK(a.t_s == b.t_s);
      }
    }
  }
}

TEST_CASE("who stops early is not kept waiting") {
  const MadeFilm made_film = made("stop-early");
  const auto path = made_film.coded("film.mp4", "-c:v libx264 -crf 18");
  for (const int taken : {0, 1, 5}) {
    VideoSource film(path);
    BallDetector detector({}, film.info().width_px, film.info().height_px);
    FilmSightings source(film, detector, true);
    for (int i = 0; i < taken; ++i) CHECK(source.next()->index == i);
  }
}

TEST_CASE("a failure in a thread comes out behind the frames before it") {
  const MadeFilm made_film = made("failing");
  // The picture shrinks in the middle of the film.
  const auto large =
      made_film.coded("large.ts", "-c:v libx264 -frames:v 20 -bf 0");
  const auto small = made_film.coded(
      "small.ts", "-c:v libx264 -frames:v 20 -bf 0 -vf scale=160:96");
  const auto path = large.parent_path() / "joined.ts";
  std::ofstream(path, std::ios::binary)
      << std::ifstream(large, std::ios::binary).rdbuf()
      << std::ifstream(small, std::ios::binary).rdbuf();
  for (const bool in_threads : {false, true}) {
    CAPTURE(in_threads);
    VideoSource film(path);
    BallDetector detector({}, film.info().width_px, film.info().height_px);
    FilmSightings source(film, detector, in_threads);
    int frames = 0;
    const auto read_all = [&] {
      while (source.next()) ++frames;
    };
    CHECK_THROWS_WITH_AS(
        read_all(), doctest::Contains("200 x 120 to 160 x 96"), InputError);
    CHECK(frames >= 18);
    CHECK(frames <= 20);
  }
}

TEST_CASE("a film of another size than the detector's is refused") {
  const MadeFilm made_film = made("other-size");
  VideoSource film(made_film.coded("film.mp4", "-c:v libx264"));
  BallDetector detector({}, 64, 48);
  FilmSightings source(film, detector, true);
  CHECK_THROWS_AS(source.next(), std::logic_error);
}
