// SPDX-License-Identifier: MIT
#include "simulate/scene_file.h"

#include "base/atomic_file.h"
#include "base/units.h"
#include "simulate/scene.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

using Convert = double (*)(double);
double same(double value) { return value; }

Eigen::Vector3d vector_m(const TomlTable& table,
                         std::string_view key,
                         const Eigen::Vector3d& otherwise_m) {
  if (!table.has(key)) return otherwise_m;
  const auto mm = table.numbers(key, 3);
  return {m_from_mm(mm[0]), m_from_mm(mm[1]), m_from_mm(mm[2])};
}

// `name` and `name` with "_sd" before its unit: speed_mps, speed_sd_mps.
Scattered scattered(const TomlTable& table,
                    const std::string& name,
                    const std::string& unit,
                    const Scattered& otherwise,
                    Convert to_si = same) {
  const std::string mean_key = name + "_" + unit;
  const std::string sd_key = name + "_sd_" + unit;
  Scattered value = otherwise;
  const double mean = table.number(mean_key, 0);
  const double sd = table.number(sd_key, 0);
  if (table.has(mean_key)) value.mean = to_si(mean);
  if (table.has(sd_key)) value.sd = to_si(sd);
  return value;
}

Eigen::Vector3d vector_rad(const TomlTable& table, std::string_view key) {
  if (!table.has(key)) return Eigen::Vector3d::Zero();
  const auto deg = table.numbers(key, 3);
  return {rad_from_deg(deg[0]), rad_from_deg(deg[1]), rad_from_deg(deg[2])};
}

Rgb colour(const TomlTable& table, std::string_view key, const Rgb& otherwise) {
  if (!table.has(key)) return otherwise;
  const auto parts = table.numbers(key, 3);
  return {parts[0], parts[1], parts[2]};
}

SceneCamera load_camera(const TomlTable& table) {
  SceneCamera camera;
  CameraModel& model = camera.model;
  model.width_px = table.integer("width_px");
  model.height_px = table.integer("height_px");
  if (model.width_px % 2 != 0 || model.height_px % 2 != 0) {
    table.refuse("width_px",
                 "width and height must be even",
                 "The film stores colour at half the resolution");
  }
  model.lens.focal_px = table.number("focal_px");
  const std::vector<double> offset = table.has("centre_offset_px")
                                         ? table.numbers("centre_offset_px", 2)
                                         : std::vector<double>{0, 0};
  model.lens.centre_u_px = (model.width_px - 1.0) / 2 + offset[0];
  model.lens.centre_v_px = (model.height_px - 1.0) / 2 + offset[1];
  model.lens.k1 = table.number("k1", 0);
  model.lens.k2 = table.number("k2", 0);
  model.exposure_s = s_from_ms(table.number("exposure_ms"));
  model.readout_s = s_from_ms(table.number("readout_ms", 0));
  const Eigen::Vector3d eye = vector_m(table, "eye_mm", {0, 0, 2.5});
  const Eigen::Vector3d target = vector_m(table, "target_mm", {0, 0, 0});
  const std::vector<double> up = table.numbers("up", 3);
  const Eigen::Vector3d up_vector{up[0], up[1], up[2]};
  if ((target - eye).normalized().cross(up_vector).norm() < 1e-3) {
    table.refuse("up",
                 "this direction lies along the line of sight",
                 "Use [0, 1, 0] for a camera overhead, [0, 0, 1] otherwise");
  }
  model.camera_from_table = look_at(
      eye, target, up_vector, rad_from_deg(table.number("roll_deg", 0)));
  camera.fps = table.number("fps");
  camera.blur_px = table.number("blur_px", camera.blur_px);
  camera.drop_probability = table.number("drop_probability", 0);
  camera.stamp_jitter_s = s_from_ms(table.number("stamp_jitter_ms", 0));
  for (const TomlTable& bump : table.tables("bump")) {
    camera.bumps.push_back({bump.number("at_s"),
                            vector_rad(bump, "turn_deg"),
                            vector_m(bump, "shift_mm", {0, 0, 0})});
  }
  check_loaded(table, camera);
  return camera;
}

std::vector<int> feed_numbers(const TomlTable& table, std::string_view key) {
  std::vector<int> result;
  if (!table.has(key)) return result;
  for (const double value : table.numbers(key)) {
    result.push_back(static_cast<int>(value));
    if (result.back() != value || value < 1) {
      table.refuse(
          key, fmt::format("{} is no feed", value), "Feeds count from 1");
    }
  }
  return result;
}

void load_trends(const TomlTable& table, LauncherOptions& launcher) {
  const TomlTable warm = table.table_or_empty("warm_up");
  launcher.warm_up_speed_mps = warm.number("speed_mps", 0);
  launcher.warm_up_elevation_rad =
      rad_from_deg(warm.number("elevation_deg", 0));
  launcher.warm_up_feeds = warm.number("feeds", launcher.warm_up_feeds);
  const TomlTable drift = table.table_or_empty("drift_per_feed");
  launcher.drift_speed_mps = drift.number("speed_mps", 0);
  launcher.drift_elevation_rad = rad_from_deg(drift.number("elevation_deg", 0));
  launcher.drift_heading_rad = rad_from_deg(drift.number("heading_deg", 0));
}

LauncherOptions load_launcher(const TomlTable& table) {
  LauncherOptions launcher;
  launcher.feeds = table.integer("feeds");
  launcher.first_s = table.number("first_s", launcher.first_s);
  launcher.interval_s = scattered(table, "interval", "s", launcher.interval_s);
  launcher.exit_m = vector_m(table, "exit_mm", launcher.exit_m);
  launcher.exit_sd_m = vector_m(table, "exit_sd_mm", launcher.exit_sd_m);
  launcher.speed_mps = scattered(table, "speed", "mps", launcher.speed_mps);
  launcher.elevation_rad =
      scattered(table, "elevation", "deg", {}, rad_from_deg);
  launcher.heading_rad = scattered(table, "heading", "deg", {}, rad_from_deg);
  launcher.topspin_radps =
      scattered(table, "topspin", "revps", {}, radps_from_revps);
  launcher.sidespin_radps =
      scattered(table, "sidespin", "revps", {}, radps_from_revps);
  launcher.corkscrew_radps =
      scattered(table, "corkscrew", "revps", {}, radps_from_revps);
  launcher.autocorrelation = table.number("autocorrelation", 0);
  launcher.misfeed_probability = table.number("misfeed_probability", 0);
  launcher.misfeeds = feed_numbers(table, "misfeeds");
  launcher.misfeed_speed_factor =
      table.number("misfeed_speed_factor", launcher.misfeed_speed_factor);
  launcher.double_feed_probability = table.number("double_feed_probability", 0);
  load_trends(table, launcher);
  check_loaded(table, launcher);
  return launcher;
}

BallPhysics load_physics(const TomlTable& table, const Ball& ball) {
  BallPhysics physics;
  physics.radius_m = ball.radius_m;
  physics.mass_kg = ball.mass_kg;
  const auto read = [&](std::string_view key, double& field) {
    field = table.number(key, field);
  };
  read("air_density_kgpm3", physics.air_density_kgpm3);
  read("drag_coefficient", physics.drag_coefficient);
  read("lift_limit", physics.lift_limit);
  read("lift_scale", physics.lift_scale);
  read("restitution", physics.restitution);
  read("friction", physics.friction);
  read("floor_restitution", physics.floor_restitution);
  read("floor_friction", physics.floor_friction);
  read("rolling_mps2", physics.rolling_mps2);
  read("drag_share_sd", physics.drag_share_sd);
  read("restitution_sd", physics.restitution_sd);
  check_loaded(table, physics);
  return physics;
}

SampleOptions load_sample(const TomlTable& table) {
  SampleOptions sample;
  const auto read_mm = [&](std::string_view key, double& field_m) {
    field_m = m_from_mm(table.number(key, mm_from_m(field_m)));
  };
  sample.present = table.flag("present", false);
  read_mm("x_mm", sample.x_m);
  read_mm("z_mm", sample.z_m);
  read_mm("width_mm", sample.width_m);
  read_mm("height_mm", sample.height_m);
  sample.tilt_rad = rad_from_deg(table.number("tilt_deg", 0));
  sample.restitution = table.number("restitution", sample.restitution);
  sample.friction = table.number("friction", sample.friction);
  check_loaded(table, sample);
  return sample;
}

LookOptions load_look(const TomlTable& table) {
  LookOptions look;
  const auto read = [&](std::string_view key, double& field) {
    field = table.number(key, field);
  };
  look.table = colour(table, "table_rgb", look.table);
  look.line = colour(table, "line_rgb", look.line);
  look.floor = colour(table, "floor_rgb", look.floor);
  look.ball = colour(table, "ball_rgb", look.ball);
  look.sample = colour(table, "sample_rgb", look.sample);
  read("ball_shading", look.ball_shading);
  read("brightness", look.brightness);
  read("ambient", look.ambient);
  read("gradient", look.gradient);
  read("vignetting", look.vignetting);
  read("glare", look.glare);
  look.lamp_m = vector_m(table, "lamp_mm", look.lamp_m);
  look.lamp_radius_m =
      m_from_mm(table.number("lamp_radius_mm", mm_from_m(look.lamp_radius_m)));
  look.floor_lines = table.flag("floor_lines", look.floor_lines);
  look.barriers = table.flag("barriers", look.barriers);
  look.print = table.flag("print", look.print);
  look.catch_box = table.flag("catch_box", look.catch_box);
  look.people = table.integer("people", look.people);
  check_loaded(table, look);
  return look;
}

NuisanceOptions load_nuisance(const TomlTable& table) {
  NuisanceOptions nuisance;
  const auto read = [&](std::string_view key, double& field) {
    field = table.number(key, field);
  };
  read("read_noise", nuisance.read_noise);
  read("shot_noise", nuisance.shot_noise);
  read("flicker_hz", nuisance.flicker_hz);
  read("flicker_depth", nuisance.flicker_depth);
  read("exposure_swing", nuisance.exposure_swing);
  read("exposure_period_s", nuisance.exposure_period_s);
  nuisance.table_strays = table.integer("table_strays", 0);
  nuisance.floor_strays = table.integer("floor_strays", 0);
  nuisance.arm_visits = table.integer("arm_visits", 0);
  check_loaded(table, nuisance);
  return nuisance;
}

SoundOptions load_sound(const TomlTable& table) {
  SoundOptions sound;
  const auto read = [&](std::string_view key, double& field) {
    field = table.number(key, field);
  };
  sound.present = table.flag("present", false);
  read("bounce_db", sound.bounce_db);
  read("noise_below_db", sound.noise_below_db);
  read("hum_below_db", sound.hum_below_db);
  read("speech_below_db", sound.speech_below_db);
  read("clatter_db", sound.clatter_db);
  read("neighbour_hz", sound.neighbour_hz);
  read("echo_s", sound.echo_s);
  read("echo_db", sound.echo_db);
  read("bitrate_kbps", sound.bitrate_kbps);
  sound.at_camera = !table.has("microphone_mm");
  sound.microphone_m = vector_m(table, "microphone_mm", sound.microphone_m);
  sound.offset_s = s_from_ms(table.number("offset_ms", 0));
  sound.drift = 1e-6 * table.number("drift_ppm", 0);
  sound.rate_hz = table.has("rate_hz") ? table.integer("rate_hz") : 48000;
  check_loaded(table, sound);
  return sound;
}

FilmOptions load_film(const TomlTable& table) {
  FilmOptions film;
  const auto read = [&](std::string_view key, double& field) {
    field = table.number(key, field);
  };
  read("duration_s", film.duration_s);
  read("crf", film.crf);
  read("bitrate_mbps", film.bitrate_mbps);
  read("keyframe_s", film.keyframe_s);
  check_loaded(table, film);
  return film;
}

Scene read_scene(const TomlTable& root, const ProfileLookup& find_profile) {
  Scene scene;
  scene.name = root.text("name");
  scene.profile = root.text("profile");
  // Only two sections of the profile matter here; the others have readers of
  // their own, which refuse what they do not know.
  const TomlTable profile = find_profile(scene.profile);
  scene.surface = load_surface(profile.table("surface"));
  const Ball ball = load_ball(profile.table("ball"));
  scene.camera = load_camera(root.table("camera"));
  scene.launcher = load_launcher(root.table("launcher"));
  scene.ball = load_physics(root.table_or_empty("ball"), ball);
  scene.sample = load_sample(root.table_or_empty("sample"));
  scene.look = load_look(root.table_or_empty("look"));
  scene.nuisance = load_nuisance(root.table_or_empty("nuisance"));
  scene.sound = load_sound(root.table_or_empty("sound"));
  scene.film = load_film(root.table_or_empty("film"));
  root.refuse_unknown();
  return scene;
}

}  // namespace

Scene parse_scene(std::string_view text,
                  const std::string& name,
                  const ProfileLookup& find_profile) {
  return read_scene(TomlTable::parse(text, name), find_profile);
}

Scene load_scene(const std::filesystem::path& path,
                 const ProfileLookup& find_profile) {
  return parse_scene(read_file(path), path.string(), find_profile);
}

}  // namespace evenfeed
