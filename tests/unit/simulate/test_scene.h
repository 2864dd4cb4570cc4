// SPDX-License-Identifier: MIT
// The small scene that ships for tests, with and without what blurs the view
// of its truth.
#pragma once

#include "simulate/scene.h"
#include "simulate/scene_file.h"

#include <string>

namespace evenfeed {

inline std::filesystem::path profile_of_tree(std::string_view name) {
  return std::filesystem::path(EVENFEED_ROOT) / "profiles" /
         (std::string(name) + ".toml");
}

inline TomlTable profile_table_of_tree(std::string_view name) {
  return TomlTable::read(profile_of_tree(name));
}

inline Scene shipped_scene(const std::string& name) {
  return load_scene(std::filesystem::path(EVENFEED_ROOT) / "profiles" /
                        "scenes" / (name + ".toml"),
                    profile_table_of_tree);
}

/// The same view in a picture half as wide and high: quick to draw.
inline Scene halved(Scene scene) {
  CameraModel& camera = scene.camera.model;
  camera.width_px /= 2;
  camera.height_px /= 2;
  camera.lens.focal_px /= 2;
  camera.lens.centre_u_px = (camera.width_px - 1) / 2.0;
  camera.lens.centre_v_px = (camera.height_px - 1) / 2.0;
  return scene;
}

/// Even light, no noise, a flat ball: what is left is geometry.
inline Scene plain_scene() {
  Scene scene = shipped_scene("short640p60");
  scene.nuisance.read_noise = 0;
  scene.nuisance.shot_noise = 0;
  scene.look.ball_shading = 0;
  scene.look.gradient = 0;
  scene.look.vignetting = 0;
  scene.look.glare = 0;
  return scene;
}

}  // namespace evenfeed
