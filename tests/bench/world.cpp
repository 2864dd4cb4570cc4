// SPDX-License-Identifier: MIT
#include "bench/world.h"

#include "base/units.h"
#include "bench/world_launcher.h"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace evenfeed {
namespace {

void draw_physics(Draws& draws, BallPhysics& ball) {
  ball.drag_coefficient = draws.even(0.40, 0.55);
  ball.lift_limit = draws.even(0.15, 0.35);
  ball.lift_scale = draws.even(0.3, 0.9);
  ball.restitution = draws.even(0.86, 0.95);
  ball.friction = draws.even(0.15, 0.32);
}

// A set of one make, or of whatever lay in the bucket: ITTF leaflet T3 allows
// 2.67 to 2.77 g and 40.0 to 40.6 mm, 2 % of the drag; bounces are invented.
void draw_balls_apart(std::uint64_t seed, BallPhysics& ball) {
  Draws draws(seed, "world balls apart");
  ball.drag_share_sd = draws.even(0, 0.02);
  ball.restitution_sd = draws.even(0, 0.01);
}

// The plane first, the launcher to it, then the plate where balls arrive.
void draw_end(Draws& draws, SampleOptions& sample) {
  sample.x_m = 1.37 + draws.even(-0.03, 0.2);
  sample.z_m = 0;
  sample.tilt_rad = rad_from_deg(draws.chance(0.5) ? 0 : draws.even(0, 30));
  sample.width_m = sample.height_m = draws.even(0.16, 0.3);
  sample.restitution = draws.even(0.6, 0.85);
  sample.friction = draws.even(0.3, 0.6);
}

void draw_eyes(Draws& draws, const CameraModel& camera, WorldEyes& eyes) {
  const double rows = std::min(camera.width_px, camera.height_px);
  eyes.noise_px =
      std::clamp(draws.log_even(0.1, 0.35) * std::sqrt(rows / 720), 0.1, 0.6);
  if (draws.chance(0.5)) eyes.stated_factor = draws.log_even(0.77, 1.3);
  eyes.missed_share = draws.even(0.01, 0.05);
  eyes.outlier_share = draws.chance(0.5) ? 0.01 : 0;
  if (draws.chance(0.6)) eyes.strays_per_frame = draws.log_even(0.02, 1);
}

// Of streams of their own: the worlds without are as they were before.
void draw_deceptions(std::uint64_t seed, WorldEyes& eyes) {
  Draws gloss(seed, "world gloss"), shake(seed, "world shake");
  if (gloss.chance(0.15)) eyes.image_share = gloss.even(0.3, 1);
  if (shake.chance(0.15)) eyes.shake_share = shake.even(0.1, 0.6);
}

void make_easy(RandomWorld& world) {
  SceneCamera& camera = world.view.camera;
  camera.fps = 60;
  CameraModel& model = camera.model;
  model.width_px = 1920;
  model.height_px = 1080;
  model.exposure_s = 0.003;
  model.readout_s = 0.008;
  model.lens = {1000, 959.5, 539.5, 0, 0};
  model.camera_from_table = look_at({0.3, -2.0, 2.0}, {0.3, 0, 0}, {0, 1, 0});
  world.view.elevation_deg = 45;
  world.view.azimuth_deg = -90;
  BallPhysics& ball = world.scene.ball;
  ball.drag_coefficient = 0.5;
  ball.restitution = 0.92;
  ball.friction = 0.22;
  world.eyes = WorldEyes{};
  world.readout_known = world.exposure_known = true;
}

}  // namespace

RandomWorld draw_world(const Profile& profile, std::uint64_t seed, bool easy) {
  Draws draws(seed, "world");
  RandomWorld world;
  world.seed = seed;
  world.profile = profile;
  Scene& scene = world.scene;
  scene.surface = profile.surface;
  world.view = draw_view(seed, scene.surface);
  draw_physics(draws, scene.ball);
  if (!easy) draw_balls_apart(seed, scene.ball);
  draw_eyes(draws, world.view.camera.model, world.eyes);
  draw_deceptions(seed, world.eyes);
  world.readout_known = draws.chance(0.5);
  world.exposure_known = draws.chance(0.5);
  const bool has_sample = draws.chance(0.5);
  const bool has_box = draws.chance(0.5);
  world.sample_told = draws.chance(1 / 3.);
  draw_end(draws, scene.sample);
  if (easy) make_easy(world);
  scene.camera = world.view.camera;

  LauncherOptions& launcher = scene.launcher;
  const MeanFeed mean =
      draw_launcher(world_of(scene), draws, !easy, has_sample, launcher);
  world.topspin_revps = launcher.topspin_radps.mean / radps_from_revps(1);
  launcher.feeds = static_cast<int>(draws.even(20, 41));
  launcher.misfeed_probability = easy ? 0 : draws.even(0, 0.06);
  const double interval_s =
      std::max(draws.log_even(0.4, 4), 0.7 * mean.t_bounce_s);
  launcher.interval_s = {interval_s, 0.02 * interval_s};
  scene.nuisance.floor_strays = !easy && draws.chance(0.2) ? 2 : 0;
  SampleOptions& sample = scene.sample;
  // Not where side spin carries the balls past it, or they come too low.
  if (mean.end_z_m > 0.03 && std::abs(mean.end_y_m) < sample.width_m / 2) {
    const double z_m = mean.end_z_m + draws.normal(0.03);
    sample.x_m += z_m * std::tan(sample.tilt_rad);
    sample.z_m = z_m;
    sample.present = has_sample;
  }
  if (easy || has_box) world.catch_x_m = scene.surface.length_m / 2 + 0.75;
  if (easy || (world.sample_told && sample.present)) {
    world.profile.sample.x_m =
        sample.x_m - sample.z_m * std::tan(sample.tilt_rad);
    world.profile.sample.lean_rad = sample.tilt_rad;
  }
  const CameraModel& truth = scene.camera.model;
  const double rows = std::min(truth.width_px, truth.height_px);
  const double landmark_px = draws.log_even(0.2, 0.8) * std::sqrt(rows / 1080);
  world.bench = calibrated(truth, scene.surface, landmark_px, seed);
  tell_shutter(
      world.bench.camera, truth, world.readout_known, world.exposure_known);
  return world;
}

std::string RandomWorld::words() const {
  const CameraModel& camera = scene.camera.model;
  const auto known = [](bool yes) { return yes ? "" : "?"; };
  return fmt::format(
      "{:.0f} deg from {:.0f}, {}x{} at {:.0f}, k1 {:.2f}, open {:.1f}{} ms, "
      "rows {:.1f}{} ms, noise {:.2f} x{:.2f}, strays {:.2f}; {:.1f} m/s, "
      "top {:.0f} side {:.0f} rev/s, every {:.2f} s; {}{}{}{}",
      view.elevation_deg,
      view.azimuth_deg,
      camera.width_px,
      camera.height_px,
      scene.camera.fps,
      camera.lens.k1,
      ms_from_s(camera.exposure_or_zero_s()),
      known(exposure_known),
      ms_from_s(camera.readout_or_zero_s()),
      known(readout_known),
      eyes.noise_px,
      eyes.stated_factor,
      eyes.strays_per_frame,
      scene.launcher.speed_mps.mean,
      topspin_revps,
      scene.launcher.sidespin_radps.mean / radps_from_revps(1),
      scene.launcher.interval_s.mean,
      scene.sample.present ? (sample_told ? "sample told" : "sample")
                           : "no sample",
      catch_x_m < 10 ? ", box" : "",
      eyes.image_share > 0 ? ", glossy" : "",
      eyes.shake_share > 0 ? ", shaking" : "");
}

}  // namespace evenfeed
