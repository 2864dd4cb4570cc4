// SPDX-License-Identifier: MIT
// A camera that is knocked in the middle of a film, from the film alone.
#include "base/units.h"
#include "pipeline/measure.h"
#include "simulate/film.h"
#include "stats/descriptive.h"
#include "support/temp_dir.h"
#include "unit/simulate/test_scene.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

Scene knocked_scene() {
  Scene scene = halved(shipped_scene("short640p60"));
  scene.launcher.feeds = 10;
  scene.film.duration_s = 0;
  CameraBump bump;
  bump.at_s = 5.1;
  bump.turn_rad = {0.0012, 0.0016, 0.0005};
  bump.shift_m = {0.002, -0.001, 0.001};
  scene.camera.bumps.push_back(bump);
  return scene;
}

bool any_holds(const std::vector<std::string>& sentences, const char* words) {
  return std::any_of(
      sentences.begin(), sentences.end(), [&](const std::string& sentence) {
        return sentence.find(words) != std::string::npos;
      });
}

}  // namespace

TEST_CASE("feeds after a knock are measured as well as those before it") {
  const TempDir folder("knocked-camera");
  const Scene scene = knocked_scene();
  const Film film = simulate(scene, 1, folder / "film.mp4");
  const Profile profile = load_profile(profile_of_tree("table-tennis"));
  Bench bench;
  bench.camera = true_camera(scene);
  const Measurement measured =
      measure_film(folder / "film.mp4", bench, profile, {});
  REQUIRE(measured.camera_moves.size() == 1);
  const CameraMove& move = measured.camera_moves.front();
  CHECK(std::abs(move.from_s - 5.1) < 0.5);
  CHECK(move.until_s == move.from_s);
  CHECK(mm_from_m(move.moved_m) > 4);
  CHECK(mm_from_m(move.moved_m) < 10);
  const auto& feeds = measured.fit.feeds;
  REQUIRE(feeds.size() == film.feeds.size());
  REQUIRE(feeds.size() == 10);
  std::vector<double> before, after, across;
  for (std::size_t i = 0; i < feeds.size(); ++i) {
    const TrueFeed& truth = film.feeds[i];
    CAPTURE(i);
    CHECK(feeds[i].status == FeedStatus::kMeasured);
    const bool near = truth.t_bounce_s > 4.5 && truth.t_bounce_s < 8.7;
    CHECK((feeds[i].note.find("camera") != std::string::npos) == near);
    const double off_mm =
        feeds[i][Characteristic::kX].value - mm_from_m(truth.bounce_m.x());
    if (!near) (truth.t_bounce_s < 5.1 ? before : after).push_back(off_mm);
    across.push_back(feeds[i][Characteristic::kY].value -
                     mm_from_m(truth.bounce_m.y()));
  }
  // 0.5 px of so small a picture, in which the light from above moves all balls
  // alike.
  CHECK(std::abs(mean(across)) < 5);
  CHECK(standard_deviation(across) < 1.5);
  REQUIRE(before.size() >= 4);
  REQUIRE(after.size() >= 2);
  CHECK(std::abs(mean(after) - mean(before)) < 3);
}

TEST_CASE("a camera that stands still is not said to have moved") {
  const TempDir folder("still-camera");
  Scene scene = knocked_scene();
  scene.camera.bumps.clear();
  scene.launcher.feeds = 3;
  simulate(scene, 1, folder / "film.mp4");
  Bench bench;
  bench.camera = true_camera(scene);
  const Measurement measured =
      measure_film(folder / "film.mp4",
                   bench,
                   load_profile(profile_of_tree("table-tennis")),
                   {});
  REQUIRE(measured.fit.feeds.size() == 3);
  CHECK(measured.camera_moves.empty());
  for (const Feed& feed : measured.fit.feeds) CHECK(feed.note.empty());
}

TEST_CASE("a camera that was turned round is lost, and that is said") {
  const TempDir folder("turned-camera");
  Scene scene = knocked_scene();
  scene.camera.bumps.front().turn_rad = {0, 0, std::numbers::pi};
  scene.camera.bumps.front().shift_m = {0, 0, 0};
  simulate(scene, 1, folder / "film.mp4");
  Bench bench;
  bench.camera = true_camera(scene);
  const Profile profile = load_profile(profile_of_tree("table-tennis"));
  const Measurement measured =
      measure_film(folder / "film.mp4", bench, profile, {});
  for (const Feed& feed : measured.fit.feeds) {
    CAPTURE(feed.number);
    if (feed.t_bounce_s < 5.1) continue;
    CHECK(feed.note.find("lines were not seen") != std::string::npos);
  }
  CHECK(any_holds(measured.fit.warnings, "could not be found"));
  CHECK(any_holds(measured.notes, "cut and put together"));
}
