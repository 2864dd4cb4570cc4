// SPDX-License-Identifier: MIT
#include "bench/world_film.h"

#include "pipeline/measure.h"
#include "simulate/film.h"
#include "vision/calibration.h"

#include <algorithm>
#include <cmath>

#include "bench/draws.h"
#include <opencv2/imgproc.hpp>

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

double corner_error_m(const CameraModel& solved,
                      const CameraModel& truth,
                      const Surface& surface) {
  double worst_m = 0;
  for (const double x_m : {-surface.length_m / 2, surface.length_m / 2}) {
    for (const double y_m : {-surface.width_m / 2, surface.width_m / 2}) {
      const auto seen = truth.project({x_m, y_m, 0});
      if (!seen || !truth.in_picture(*seen, 0)) continue;
      const auto there = solved.meet_plane(*seen, 0);
      if (!there) return 1e3;
      worst_m = std::max(worst_m,
                         (there->head<2>() - Eigen::Vector2d(x_m, y_m)).norm());
    }
  }
  return worst_m;
}

// Where the launcher stands, seen in the picture.
LauncherEnd launcher_end(const CameraModel& camera, const Surface& surface) {
  const auto near = camera.project({0.4, 0, 0});
  const auto far = camera.project({surface.length_m / 2, 0, 0});
  if (!near || !far) return LauncherEnd::kNotSaid;
  const Eigen::Vector2d way = *near - *far;
  if (std::abs(way.x()) > std::abs(way.y())) {
    return way.x() < 0 ? LauncherEnd::kLeft : LauncherEnd::kRight;
  }
  return way.y() < 0 ? LauncherEnd::kTop : LauncherEnd::kBottom;
}

Eigen::Vector3d eye_of(const CameraModel& camera) {
  return camera.camera_from_table.inverse().translation_m;
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

WorldScore measure_world_film(const RandomWorld& world,
                              const std::filesystem::path& folder) {
  const auto film = folder / ("world" + std::to_string(world.seed) + ".mp4");
  const Film truth = simulate(world.scene, world.seed, film);
  MeasureOptions options;
  options.bench_of_this_film = true;
  const Measurement measured =
      measure_film(film, world.bench, world.profile, options);
  std::filesystem::remove(film);
  return judge_world(world, measured.fit);
}

ViewScore calibrate_world(const RandomWorld& world) {
  const YuvPicture hall = render_background(world.scene, world.seed);
  const cv::Mat grey(hall.height_px,
                     hall.width_px,
                     CV_8U,
                     const_cast<std::uint8_t*>(hall.y.data()));
  const CameraModel& truth = world.scene.camera.model;
  CalibrationOptions options;
  options.limits = world.profile.calibration;
  options.launcher_end = launcher_end(truth, world.profile.surface);
  const CalibrationResult found =
      calibrate_still(grey, world.profile.surface, options);
  ViewScore score;
  if (!found.done()) {
    score.said = found.message;
    return score;
  }
  const CameraModel& solved = found.bench.camera;
  score.worst_corner_m = corner_error_m(solved, truth, world.profile.surface);
  score.focal_sigmas =
      (solved.lens.focal_px - truth.lens.focal_px) / found.focal_sd_px;
  score.eye_sigmas = (eye_of(solved) - eye_of(truth))
                         .cwiseQuotient(found.eye_sd_m)
                         .cwiseAbs()
                         .maxCoeff();
  constexpr double kRight_m = 0.01, kRough_m = 0.05;
  score.kind = score.worst_corner_m < kRight_m   ? ViewScore::Kind::kRight
               : score.worst_corner_m < kRough_m ? ViewScore::Kind::kRough
                                                 : ViewScore::Kind::kWrong;
  return score;
}

}  // namespace evenfeed
