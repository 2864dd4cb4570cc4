// SPDX-License-Identifier: MIT
// A scene: everything a bench film is made from. Read from a TOML file (every
// key is explained in profiles/scenes/overhead720p60.toml); files use mm,
// degrees and rev/s, the structs here SI.
#pragma once

#include "base/toml_file.h"
#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <array>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A number that varies from feed to feed.
struct Scattered {
  double mean = 0;
  double sd = 0;
};

/// Somebody knocks the camera: from then on it looks another way.
struct CameraBump {
  double at_s = 0;  ///< between two frames
  /// Its own turn and shift (camera x right, y down, z forward).
  Eigen::Vector3d turn_rad = Eigen::Vector3d::Zero();
  Eigen::Vector3d shift_m = Eigen::Vector3d::Zero();
};

/// The camera, its lens, its shutter and its clock.
struct SceneCamera {
  CameraModel model;              ///< as the film begins
  std::vector<CameraBump> bumps;  ///< in order of time
  double fps = 60;
  double blur_px = 0.6;         ///< sd of the Gaussian point spread
  double drop_probability = 0;  ///< a frame is missing, its stamp too
  double stamp_jitter_s = 0;    ///< sd of the moment a frame is taken
  double camera_height_m() const;
  void check() const;
};

/// What the launcher does, feed by feed.
struct LauncherOptions {
  int feeds = 10;
  double first_s = 1.0;  ///< launch of the first feed
  Scattered interval_s{1.5, 0.02};
  Eigen::Vector3d exit_m{-1.55, 0, 0.30};  ///< ball centre as it leaves
  Eigen::Vector3d exit_sd_m{0, 0.001, 0.001};
  Scattered speed_mps{5.5, 0.03};
  Scattered elevation_rad;
  Scattered heading_rad;             ///< from +x, left positive
  Scattered topspin_radps;           ///< negative is backspin
  Scattered sidespin_radps;          ///< about the vertical, curves left
  Scattered corkscrew_radps;         ///< about the line of flight
  double autocorrelation = 0;        ///< lag-one, of every scatter
  double warm_up_speed_mps = 0;      ///< excess of the very first feed
  double warm_up_elevation_rad = 0;  ///< likewise
  double warm_up_feeds = 8;          ///< time constant of both
  double drift_speed_mps = 0;        ///< per feed
  double drift_elevation_rad = 0;    ///< per feed
  double drift_heading_rad = 0;      ///< per feed
  double misfeed_probability = 0;
  std::vector<int> misfeeds;  ///< numbers of feeds that fail for sure
  double misfeed_speed_factor = 0.8;
  double double_feed_probability = 0;  ///< a second ball right behind
  void check() const;
};

/// Air and contact of the ball.
struct BallPhysics {
  double radius_m = 0.02015;
  double mass_kg = 0.0027;
  double air_density_kgpm3 = 1.20;
  double drag_coefficient = 0.50;
  double lift_limit = 0.25;   ///< lift coefficient at high spin
  double lift_scale = 0.60;   ///< spin parameter of 63 % of the limit
  double restitution = 0.92;  ///< on the table
  double friction = 0.22;     ///< on the table
  double floor_restitution = 0.78;
  double floor_friction = 0.30;
  double rolling_mps2 = 0.12;  ///< deceleration of a rolling ball
  double drag_share_sd = 0;    ///< from ball to ball, of the drag
  double restitution_sd = 0;   ///< from ball to ball
  void check() const;
};

/// The sample at the receiving end: a plate in a clamp, or only the plane
/// where the contact is read.
struct SampleOptions {
  bool present = false;
  double x_m = 1.45;  ///< where the plane crosses y = 0, z = z_m
  double z_m = 0.30;
  double tilt_rad = 0;     ///< the face leans back (looks up) by this
  double width_m = 0.16;   ///< along y
  double height_m = 0.16;  ///< along the face
  double restitution = 0.80;
  double friction = 0.60;
  void check() const;
};

using Rgb = std::array<double, 3>;  ///< linear light, 0..1

/// Colours and light. Colours are reflectances.
struct LookOptions {
  Rgb table{0.035, 0.085, 0.24};
  Rgb line{0.82, 0.82, 0.80};
  Rgb floor{0.30, 0.20, 0.13};
  Rgb ball{0.85, 0.84, 0.80};
  Rgb sample{0.45, 0.03, 0.03};
  double ball_shading = 1;  ///< 0 gives a flat disc
  double brightness = 1;    ///< exposure of the picture
  double ambient = 0.45;    ///< part of the light that has no direction
  Eigen::Vector3d lamp_m{0.6, 0.9, 3.4};  ///< the main lamp
  double lamp_radius_m = 0.25;            ///< softness of shadows
  double gradient = 0.25;    ///< fall of the light towards the far end
  double vignetting = 0.25;  ///< darkening at the corners
  double glare = 0.25;       ///< reflection of the lamp on the table
  bool floor_lines = false;  ///< white lines of other games on the floor
  bool barriers = false;
  bool print = false;     ///< lettering on the table and its side
  bool catch_box = true;  ///< behind the receiving end
  int people = 0;         ///< standing beside the table
  void check() const;
};

/// What disturbs.
struct NuisanceOptions {
  double read_noise = 0.8;    ///< grey levels, sd
  double shot_noise = 1.0;    ///< grey levels at mid grey, sd
  double flicker_hz = 0;      ///< of the light: twice the mains frequency
  double flicker_depth = 0;   ///< amplitude over mean
  double exposure_swing = 0;  ///< slow change of brightness, amplitude
  double exposure_period_s = 20;
  int table_strays = 0;  ///< balls that hop or roll over the table
  int floor_strays = 0;
  int arm_visits = 0;  ///< an arm reaches to the launcher
  void check() const;
};

/// How the film is stored.
struct FilmOptions {
  double duration_s = 0;  ///< 0: until the last feed is over
  double crf = 20;        ///< used when bitrate is 0
  double bitrate_mbps = 0;
  double keyframe_s = 1;
  void check() const;
};

/// What a microphone hears; see hall_sound.h. Levels in dB: how far the rms
/// lies below the loudest moment of a ball on the table (2 m/s, 2.5 m away).
struct SoundOptions {
  bool present = false;    ///< the film has a sound track
  double bounce_db = -14;  ///< of that ball, against full scale
  double noise_below_db = 45;
  double hum_below_db = 35;
  double speech_below_db = 100;
  double clatter_db = 0;    ///< the launcher's ticks, against a ball's
  double neighbour_hz = 0;  ///< balls on the next table, a second
  double echo_s = 0.6;      ///< until the hall has fallen by 60 dB
  double echo_db = -12;     ///< of the echo, against what makes it
  bool at_camera = true;    ///< the microphone; else at microphone_m
  Eigen::Vector3d microphone_m{0, 0, 0};
  double offset_s = 0;  ///< the sound comes late by this
  double drift = 0;     ///< and by so much more per second of the film
  int rate_hz = 48000;
  double bitrate_kbps = 128;  ///< of AAC
  void check() const;
};

struct Scene {
  std::string name;
  std::string profile;  ///< name of the profile of surface and ball
  Surface surface;
  SceneCamera camera;
  LauncherOptions launcher;
  BallPhysics ball;
  SampleOptions sample;
  LookOptions look;
  NuisanceOptions nuisance;
  SoundOptions sound;
  FilmOptions film;
};

/// The profile of that name.
using ProfileLookup = std::function<TomlTable(std::string_view)>;

/// The lens, pose and shutter of the scene's camera as the film begins.
inline const CameraModel& true_camera(const Scene& scene) {
  return scene.camera.model;
}

/// The camera after the first `bumps` of its bumps.
CameraModel bumped_camera(const SceneCamera& camera, std::size_t bumps);
/// How many bumps there were before t_s.
std::size_t bumps_until(const SceneCamera& camera, double t_s);

}  // namespace evenfeed
