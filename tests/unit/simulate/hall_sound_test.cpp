// SPDX-License-Identifier: MIT
#include "simulate/hall_sound.h"

#include "base/error.h"
#include "simulate/film.h"
#include "support/temp_dir.h"

#include <algorithm>
#include <cmath>

extern "C" {
#include <libavformat/avformat.h>
}

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Scene sounding_scene() {
  Scene scene = shipped_scene("short640p60");
  scene.sound.present = true;
  return scene;
}

// Everything but the contacts themselves is far below them.
Scene silent_hall() {
  Scene scene = sounding_scene();
  scene.sound.noise_below_db = 140;
  scene.sound.hum_below_db = 140;
  scene.sound.speech_below_db = 140;
  scene.sound.echo_s = 0;
  scene.sound.clatter_db = -90;
  return scene;
}

double loudest_db(const std::vector<float>& sound, double from_s, double to_s) {
  double most = 1e-12;
  for (auto i = static_cast<std::size_t>(from_s * 48000);
       i < static_cast<std::size_t>(to_s * 48000) && i < sound.size();
       ++i) {
    most = std::max(most, std::abs(static_cast<double>(sound[i])));
  }
  return 20 * std::log10(most);
}

unsigned streams_of(const std::filesystem::path& video) {
  AVFormatContext* file = nullptr;
  REQUIRE(avformat_open_input(&file, video.c_str(), nullptr, nullptr) == 0);
  const unsigned count = file->nb_streams;
  avformat_close_input(&file);
  return count;
}

}  // namespace

TEST_CASE("every bounce of every feed sounds, and the launcher with it") {
  const Scene scene = sounding_scene();
  const auto sounds = sound_events(scene, 3);
  const auto feeds = true_feeds(scene, 3);
  REQUIRE(feeds.size() >= 2);
  int bounces = 0;
  for (const TrueFeed& feed : feeds) {
    for (const SoundEvent& sound : sounds) {
      if (sound.kind != SoundKind::kTable || sound.t_s != feed.t_bounce_s) {
        continue;
      }
      ++bounces;
      CHECK((sound.place_m - feed.bounce_m).norm() < 1e-9);
      // Into the table, friction aside.
      CHECK(sound.impact_mps > 0.5 * -feed.v_in_mps.z());
    }
  }
  CHECK(bounces == static_cast<int>(feeds.size()));
  CHECK(std::count_if(sounds.begin(), sounds.end(), [](const auto& sound) {
          return sound.kind == SoundKind::kLauncher;
        }) == 2 * static_cast<int>(feeds.size()));
  CHECK(std::is_sorted(
      sounds.begin(), sounds.end(), [](const auto& a, const auto& b) {
        return a.t_s < b.t_s;
      }));
}

TEST_CASE("a neighbouring table ticks as often as is said") {
  Scene scene = sounding_scene();
  scene.film.duration_s = 200;
  scene.sound.neighbour_hz = 3;
  const auto sounds = sound_events(scene, 3);
  const auto neighbours =
      std::count_if(sounds.begin(), sounds.end(), [](const auto& sound) {
        return sound.kind == SoundKind::kNeighbour;
      });
  CHECK(neighbours > 520);  // 600 expected, three and more sd below
  CHECK(neighbours < 680);
}

TEST_CASE("sound comes late by its way, the offset and the drift") {
  Scene scene = sounding_scene();
  scene.sound.at_camera = false;
  scene.sound.microphone_m = {1.0, 0, 0};
  scene.sound.offset_s = 0.05;
  scene.sound.drift = 1e-4;
  const SoundEvent event{SoundKind::kTable, 10, {1.0, 3.432, 0}, 2};
  CHECK(heard_s(scene, event) == doctest::Approx(10 + 0.01 + 0.05 + 1e-3));
  scene.sound.at_camera = true;
  const Eigen::Vector3d eye_m = microphone_m(scene);
  CHECK((scene.camera.model.camera_from_table * eye_m).norm() < 1e-9);
}

TEST_CASE("a bounce is as loud as is said, and begins when it is heard") {
  const Scene scene = silent_hall();
  const auto sound = hall_sound(scene, 3);
  int checked = 0;
  for (const SoundEvent& event : sound_events(scene, 3)) {
    if (event.kind != SoundKind::kTable) continue;
    const double at_s = heard_s(scene, event);
    if (at_s + 0.01 > static_cast<double>(sound.size()) / 48000) continue;
    const double distance_m = (event.place_m - microphone_m(scene)).norm();
    const double expected_db =
        scene.sound.bounce_db +
        20 * std::log10(event.impact_mps / 2 * 2.5 / distance_m);
    CHECK(std::abs(loudest_db(sound, at_s, at_s + 0.004) - expected_db) < 8);
    CHECK(loudest_db(sound, at_s - 0.005, at_s) <
          loudest_db(sound, at_s, at_s + 0.004) - 15);
    ++checked;
  }
  CHECK(checked >= 2);
}

TEST_CASE("noise has the level that is said, and an echo rings out") {
  Scene scene = silent_hall();
  scene.launcher.feeds = 1;
  scene.film.duration_s = 8;
  scene.sound.bounce_db = -20;
  scene.sound.noise_below_db = 30;
  const auto noisy = hall_sound(scene, 3);
  double sum = 0;
  for (std::size_t i = 4 * 48000; i < noisy.size(); ++i) {
    sum += static_cast<double>(noisy[i]) * noisy[i];
  }
  CHECK(10 * std::log10(sum / (static_cast<double>(noisy.size()) - 192000)) ==
        doctest::Approx(-50).epsilon(0.02));
  scene.sound.noise_below_db = 140;
  const double dry_db = loudest_db(hall_sound(scene, 3), 1.65, 1.75);
  scene.sound.echo_s = 1.2;
  CHECK(loudest_db(hall_sound(scene, 3), 1.65, 1.75) > dry_db + 6);
}

TEST_CASE("a film has a sound track only where its scene has sound") {
  const TempDir dir("hall-sound");
  Scene scene = halved(sounding_scene());
  scene.launcher.feeds = 1;
  scene.film.duration_s = 0.5;
  std::ignore = simulate(scene, 5, dir / "sound.mp4");
  scene.sound.present = false;
  std::ignore = simulate(scene, 5, dir / "none.mp4");
  CHECK(streams_of(dir / "sound.mp4") == 2);
  CHECK(streams_of(dir / "none.mp4") == 1);
  CHECK_FALSE(std::filesystem::exists(dir / "sound-sound.m4a"));
}

TEST_CASE("sound that cannot be is refused") {
  SoundOptions options;
  options.rate_hz = 100;
  CHECK_THROWS_AS(options.check(), UsageError);
  options = {};
  options.neighbour_hz = -1;
  CHECK_THROWS_AS(options.check(), UsageError);
}
