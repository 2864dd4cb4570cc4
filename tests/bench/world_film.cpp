// SPDX-License-Identifier: MIT
#include "bench/world_film.h"

#include "base/atomic_file.h"
#include "bench/draws.h"
#include "bench/world_balls.h"
#include "bench/world_sightings.h"
#include "geometry/sightings_file.h"
#include "pipeline/measure.h"
#include "simulate/film.h"
#include "stats/descriptive.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

namespace evenfeed {
namespace {

Rgb colour(Draws& draws, double least, double most) {
  return {draws.even(least, most),
          draws.even(least, most),
          draws.even(least, most)};
}

// Tables are blue or green of all shades, balls white or orange.
void draw_looks(Draws& draws, LookOptions& look) {
  const bool blue = draws.chance(0.6);
  const double shade = draws.log_even(0.6, 1.8);
  look.table = blue ? Rgb{0.035 * shade, 0.085 * shade, 0.24 * shade}
                    : Rgb{0.03 * shade, 0.15 * shade, 0.09 * shade};
  look.floor = colour(draws, 0.08, 0.4);
  look.ball = draws.chance(0.6) ? Rgb{0.85, 0.84, 0.80} : Rgb{0.80, 0.35, 0.05};
  look.ball_shading = draws.even(0.6, 1);
  look.brightness = draws.log_even(0.7, 1.3);
  look.ambient = draws.even(0.3, 0.7);
  look.lamp_m = {draws.even(-1, 1.5), draws.even(-1.5, 1.5), 3.4};
  look.gradient = draws.even(0, 0.4);
  look.vignetting = draws.even(0, 0.4);
  look.glare = draws.even(0, 0.4);
  look.floor_lines = draws.chance(0.3);
  look.barriers = draws.chance(0.4);
  look.print = draws.chance(0.3);
  look.people = draws.chance(0.3) ? 1 : 0;
}

void draw_film(Draws& draws, RandomWorld& world) {
  Scene& scene = world.scene;
  scene.nuisance.read_noise = draws.log_even(0.6, 3);
  scene.nuisance.shot_noise = draws.log_even(0.6, 3);
  if (draws.chance(0.3)) {
    scene.nuisance.flicker_hz = draws.chance(0.5) ? 100 : 120;
    scene.nuisance.flicker_depth = draws.even(0.01, 0.06);
  }
  scene.nuisance.table_strays = draws.chance(0.2) ? 1 : 0;
  scene.film.crf = std::round(draws.even(16, 28));
  scene.camera.blur_px = draws.even(0.5, 1.0);
}

// Rendering takes long: big pictures come slowly, and launches close together.
void bound_pictures(RandomWorld& world) {
  constexpr double kMostPixelsPerS = 1920. * 1080 * 60;
  constexpr double kLongestInterval_s = 1.5;
  SceneCamera& camera = world.scene.camera;
  const double pixels = static_cast<double>(camera.model.width_px) *
                        static_cast<double>(camera.model.height_px);
  while (pixels * camera.fps > kMostPixelsPerS && camera.fps > 30) {
    camera.fps /= 2;
  }
  const double frame_s = 1 / camera.fps;
  CameraModel& truth = camera.model;
  truth.exposure_s = std::min(truth.exposure_or_zero_s(), 0.9 * frame_s);
  truth.readout_s = std::min(truth.readout_or_zero_s(), 0.9 * frame_s);
  LauncherOptions& launcher = world.scene.launcher;
  launcher.feeds = 8;
  launcher.misfeed_probability = 0;
  launcher.interval_s.mean =
      std::min(launcher.interval_s.mean, kLongestInterval_s);
}

SightingErrors sighting_errors(const RandomWorld& world,
                               const std::vector<Sighting>& seen) {
  RandomWorld clear = world;
  clear.eyes = {};
  clear.eyes.noise_px = 1e-9;
  clear.eyes.missed_share = 0;
  std::map<int, std::vector<Sighting>> truth;  // by frame
  for (const Sighting& s : look(clear, throw_balls(clear)).sightings) {
    truth[s.frame].push_back(s);
  }
  std::vector<double> off_px, off_in_sigmas;
  for (const Sighting& s : seen) {
    if (s.cut_off) continue;
    double nearest_px = 0.5 * s.diameter_px;
    for (const Sighting& ball : truth[s.frame]) {
      nearest_px = std::min(nearest_px, (s.centre_px - ball.centre_px).norm());
    }
    if (nearest_px >= 0.5 * s.diameter_px) continue;
    off_px.push_back(nearest_px);
    off_in_sigmas.push_back(nearest_px / std::sqrt(2.0) / s.sigma_px);
  }
  if (off_px.empty()) return {};
  return {off_px.size(), median(off_px), median(off_in_sigmas)};
}

}  // namespace

RandomWorld draw_film_world(const Profile& profile, std::uint64_t seed) {
  RandomWorld world = draw_world(profile, seed, false);
  Draws draws(seed, "world film");
  bound_pictures(world);
  draw_looks(draws, world.scene.look);
  draw_film(draws, world);
  world.scene.look.catch_box = world.catch_x_m < 1e8;
  tell_shutter(world.bench.camera,
               world.scene.camera.model,
               world.readout_known,
               world.exposure_known);
  return world;
}

FilmScore measure_world_film(const RandomWorld& world,
                             const std::filesystem::path& folder) {
  const std::string name = "world" + std::to_string(world.seed);
  const auto film = folder / (name + ".mp4");
  if (!std::filesystem::exists(film)) simulate(world.scene, world.seed, film);
  write_file_whole(folder / (name + ".toml"), bench_text(world.bench));
  MeasureOptions options;
  options.bench_of_this_film = true;
  options.retimed_sd = 0;  // rendered as it plays
  options.keep_sightings = true;
  const Measurement measured =
      measure_film(film, world.bench, world.profile, options);
  write_file_whole(folder / (name + ".csv"),
                   sightings_text(measured.sightings));
  return {judge_world(world, measured.fit),
          sighting_errors(world, measured.sightings)};
}

}  // namespace evenfeed
