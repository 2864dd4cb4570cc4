// SPDX-License-Identifier: MIT
#include "simulate/scene.h"

#include "base/check.h"

namespace evenfeed {
namespace {

void require_colour(const Rgb& colour, std::string_view field) {
  for (const double part : colour) require_in_range(part, 0, 1, field);
}

void require_scatter(const Scattered& value, std::string_view field) {
  require_finite(value.mean, field);
  require_not_negative(value.sd, field);
}

}  // namespace

void SceneCamera::check() const {
  model.check();
  require_in_range(fps, 1, 1000, "fps");
  require_in_range(model.exposure_or_zero_s() * fps, 0, 1, "exposure (frames)");
  require_in_range(model.readout_or_zero_s() * fps, 0, 1, "readout (frames)");
  require_in_range(blur_px, 0, 10, "blur_px");
  require_in_range(drop_probability, 0, 0.5, "drop_probability");
  require_in_range(stamp_jitter_s * fps, 0, 0.2, "stamp jitter (frames)");
  require_in_range(
      camera_height_m(), 0.1, 100, "height of the eye over the table (m)");
  double last_s = 0;
  for (const CameraBump& bump : bumps) {
    require_in_range(bump.at_s, last_s, 36000, "bump.at_s (in order)");
    require_in_range(bump.turn_rad.norm(), 0, 0.2, "bump.turn (rad)");
    require_in_range(bump.shift_m.norm(), 0, 0.5, "bump.shift (m)");
    last_s = bump.at_s;
  }
}

double SceneCamera::camera_height_m() const {
  return model.eye_in_table_m().z();
}

CameraModel bumped_camera(const SceneCamera& camera, std::size_t bumps) {
  CameraModel moved = camera.model;
  for (std::size_t i = 0; i < bumps; ++i) {
    const CameraBump& bump = camera.bumps[i];
    const Pose back = Pose{turned_by(bump.turn_rad), bump.shift_m}.inverse();
    Pose& pose = moved.camera_from_table;
    pose.translation_m = back * pose.translation_m;
    pose.rotation = back.rotation * pose.rotation;
  }
  return moved;
}

std::size_t bumps_until(const SceneCamera& camera, double t_s) {
  std::size_t count = 0;
  for (const CameraBump& bump : camera.bumps) count += bump.at_s <= t_s;
  return count;
}

void LauncherOptions::check() const {
  require_in_range(feeds, 0, 10000, "feeds");
  require_not_negative(first_s, "first_s");
  require_scatter(interval_s, "interval_s");
  require_in_range(interval_s.mean, 0.05, 1000, "interval_s");
  require_scatter(speed_mps, "speed_mps");
  require_in_range(speed_mps.mean, 0.5, 60, "speed_mps");
  require_scatter(elevation_rad, "elevation");
  require_scatter(heading_rad, "heading");
  require_scatter(topspin_radps, "topspin");
  require_scatter(sidespin_radps, "sidespin");
  require_scatter(corkscrew_radps, "corkscrew");
  require_in_range(autocorrelation, -0.99, 0.99, "autocorrelation");
  require_positive(warm_up_feeds, "warm_up.feeds");
  require_in_range(misfeed_probability, 0, 1, "misfeed_probability");
  require_in_range(misfeed_speed_factor, 0.1, 2, "misfeed_speed_factor");
  require_in_range(double_feed_probability, 0, 1, "double_feed_probability");
}

void BallPhysics::check() const {
  require_positive(radius_m, "radius");
  require_positive(mass_kg, "mass");
  require_in_range(air_density_kgpm3, 0, 5, "air_density_kgpm3");
  require_in_range(drag_coefficient, 0, 3, "drag_coefficient");
  require_in_range(lift_limit, 0, 2, "lift_limit");
  require_positive(lift_scale, "lift_scale");
  require_in_range(restitution, 0, 1, "restitution");
  require_in_range(friction, 0, 3, "friction");
  require_in_range(floor_restitution, 0, 1, "floor_restitution");
  require_in_range(floor_friction, 0, 3, "floor_friction");
  require_in_range(rolling_mps2, 0.01, 10, "rolling_mps2");
  require_in_range(drag_share_sd, 0, 0.3, "drag_share_sd");
  require_in_range(restitution_sd, 0, 0.3, "restitution_sd");
}

void SampleOptions::check() const {
  require_finite(x_m, "x_mm");
  require_finite(z_m, "z_mm");
  require_in_range(tilt_rad, -1.2, 1.2, "tilt_deg (rad)");
  require_positive(width_m, "width_mm");
  require_positive(height_m, "height_mm");
  require_in_range(restitution, 0, 1, "restitution");
  require_in_range(friction, 0, 3, "friction");
}

void LookOptions::check() const {
  require_colour(table, "table_rgb");
  require_colour(line, "line_rgb");
  require_colour(floor, "floor_rgb");
  require_colour(ball, "ball_rgb");
  require_colour(sample, "sample_rgb");
  require_in_range(ball_shading, 0, 1, "ball_shading");
  require_in_range(brightness, 0.05, 10, "brightness");
  require_in_range(ambient, 0, 1, "ambient");
  require_in_range(lamp_m.z(), 1, 50, "height of the lamp (m)");
  require_in_range(lamp_radius_m, 0.01, 5, "lamp radius (m)");
  require_in_range(gradient, 0, 0.9, "gradient");
  require_in_range(vignetting, 0, 0.9, "vignetting");
  require_in_range(glare, 0, 5, "glare");
  require_in_range(people, 0, 6, "people");
}

void NuisanceOptions::check() const {
  require_in_range(read_noise, 0, 50, "read_noise");
  require_in_range(shot_noise, 0, 50, "shot_noise");
  require_in_range(flicker_hz, 0, 1000, "flicker_hz");
  require_in_range(flicker_depth, 0, 0.9, "flicker_depth");
  require_in_range(exposure_swing, 0, 0.9, "exposure_swing");
  require_positive(exposure_period_s, "exposure_period_s");
  require_in_range(table_strays, 0, 1000, "table_strays");
  require_in_range(floor_strays, 0, 1000, "floor_strays");
  require_in_range(arm_visits, 0, 1000, "arm_visits");
}

void SoundOptions::check() const {
  require_in_range(bounce_db, -60, 0, "bounce_db");
  require_in_range(noise_below_db, -20, 150, "noise_below_db");
  require_in_range(hum_below_db, -20, 150, "hum_below_db");
  require_in_range(speech_below_db, -20, 150, "speech_below_db");
  require_in_range(clatter_db, -100, 40, "clatter_db");
  require_in_range(neighbour_hz, 0, 100, "neighbour_hz");
  require_in_range(echo_s, 0, 10, "echo_s");
  require_in_range(echo_db, -100, 0, "echo_db");
  require_in_range(offset_s, -5, 5, "offset_ms / 1000");
  require_in_range(drift, -1e-3, 1e-3, "drift_ppm / 1000000");
  require_in_range(rate_hz, 8000, 96000, "rate_hz");
  require_in_range(bitrate_kbps, 16, 512, "bitrate_kbps");
}

void FilmOptions::check() const {
  require_in_range(duration_s, 0, 36000, "duration_s");
  require_in_range(crf, 0, 51, "crf");
  require_in_range(bitrate_mbps, 0, 500, "bitrate_mbps");
  require_in_range(keyframe_s, 0.01, 60, "keyframe_s");
}

}  // namespace evenfeed
