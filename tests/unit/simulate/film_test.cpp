// SPDX-License-Identifier: MIT
#include "simulate/film.h"

#include <cmath>

extern "C" {
#include <libavformat/avformat.h>
}

#include "base/error.h"
#include "support/temp_dir.h"

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::vector<double> stamps_of(const std::filesystem::path& video) {
  AVFormatContext* file = nullptr;
  REQUIRE(avformat_open_input(&file, video.c_str(), nullptr, nullptr) == 0);
  REQUIRE(avformat_find_stream_info(file, nullptr) >= 0);
  std::vector<double> stamps;
  AVPacket* packet = av_packet_alloc();
  while (av_read_frame(file, packet) == 0) {
    stamps.push_back(static_cast<double>(packet->pts) *
                     av_q2d(file->streams[0]->time_base));
    av_packet_unref(packet);
  }
  av_packet_free(&packet);
  avformat_close_input(&file);
  return stamps;
}

Scene brief_scene() {
  Scene scene = halved(shipped_scene("short640p60"));
  scene.launcher.feeds = 1;
  scene.film.duration_s = 0.9;
  return scene;
}

std::size_t files_in(const TempDir& dir) {
  std::size_t n = 0;
  for ([[maybe_unused]] const auto& entry :
       std::filesystem::directory_iterator(dir.path())) {
    ++n;
  }
  return n;
}

}  // namespace

TEST_CASE("the film's stamps are the frames' times, uneven ones too") {
  TempDir dir("film");
  Scene scene = brief_scene();
  scene.camera.drop_probability = 0.2;
  scene.camera.stamp_jitter_s = 0.001;
  const Film film = simulate(scene, 5, dir / "session.mp4");
  const auto stamps = stamps_of(dir / "session.mp4");
  const auto times = frame_times(scene, 5);
  REQUIRE(stamps.size() == times.size());
  CHECK(film.frames == static_cast<int>(times.size()));
  CHECK(times.size() < 52);
  for (std::size_t i = 0; i < times.size(); ++i) {
    CHECK(std::abs(stamps[i] - times[i]) < 1.0 / 90000);
  }
  CHECK(stamps[0] == 0);
  CHECK(files_in(dir) == 1);
}

TEST_CASE("a film that cannot be written leaves nothing behind") {
  TempDir dir("film-failed");
  CHECK_THROWS_AS(simulate(brief_scene(), 1, dir / "none" / "session.mp4"),
                  InputError);
  CHECK(files_in(dir) == 0);
}

TEST_CASE("the same seed gives the same picture, another seed another") {
  const Scene scene = brief_scene();
  const YuvPicture a = render_frame(scene, 1, 45);
  CHECK(a.y == render_frame(scene, 1, 45).y);
  CHECK(a.y != render_frame(scene, 2, 45).y);
}

TEST_CASE("frames may be drawn in any order") {
  const Scene scene = brief_scene();
  FrameRenderer renderer(scene, 1);
  renderer.render(50);
  renderer.render(35);
  CHECK(renderer.render(45).y == render_frame(scene, 1, 45).y);
}

TEST_CASE("sightings follow the ball from launch to the end") {
  const Scene scene = brief_scene();
  const FrameRenderer renderer(scene, 1);
  const auto sightings = true_sightings(renderer, scene);
  const auto feeds = true_feeds(scene, 1);
  REQUIRE(feeds.size() == 1);
  REQUIRE(sightings.size() > 15);
  int frame = -1;
  for (const TrueSighting& sighting : sightings) {
    CHECK(sighting.frame > frame);
    frame = sighting.frame;
    CHECK(sighting.kind == BallKind::kFeed);
    CHECK(sighting.t_s >= renderer.times_s()[frame]);
    CHECK(sighting.diameter_px > 3);
  }
  CHECK(sightings.front().t_s >= feeds[0].t_launch_s - 0.025);
}

TEST_CASE("a bump moves the picture, and the truth with it") {
  Scene scene = brief_scene();
  CameraBump bump;
  bump.at_s = 0.55;
  bump.turn_rad = {0, 0.01, 0};  // looks to the right: all goes to the left
  scene.camera.bumps = {bump};
  const FrameRenderer renderer(scene, 5);
  Scene still = scene;
  still.camera.bumps.clear();
  const FrameRenderer unmoved(still, 5);
  CHECK(bumps_until(scene.camera, 0.54) == 0);
  CHECK(bumps_until(scene.camera, 0.56) == 1);
  const double shift_px = 0.01 * scene.camera.model.lens.focal_px;
  const auto bumped = true_sightings(renderer, scene);
  const auto steady = true_sightings(unmoved, still);
  REQUIRE(bumped.size() == steady.size());
  int before = 0, after = 0;
  for (std::size_t i = 0; i < bumped.size(); ++i) {
    const double moved_px = bumped[i].centre_px.x() - steady[i].centre_px.x();
    if (steady[i].t_s < 0.54) {
      CHECK(moved_px == 0);
      ++before;
    } else if (steady[i].t_s > 0.57) {
      CHECK(moved_px == doctest::Approx(-shift_px).epsilon(0.25));
      ++after;
    }
  }
  CHECK(before > 0);
  CHECK(after > 3);
}
