// SPDX-License-Identifier: MIT
// Scenes as their files say them.
#pragma once

#include "simulate/scene.h"

#include <filesystem>
#include <string>
#include <string_view>

namespace evenfeed {

Scene parse_scene(std::string_view text,
                  const std::string& name,
                  const ProfileLookup& find_profile);

/// Reads a scene strictly. Throws InputError naming file, line and key.
Scene load_scene(const std::filesystem::path& path,
                 const ProfileLookup& find_profile);

}  // namespace evenfeed
