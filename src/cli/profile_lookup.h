// SPDX-License-Identifier: MIT
// From what the user typed after --profile or --scene to the text it means.
#pragma once

#include "pipeline/profile.h"

#include <filesystem>
#include <string>

namespace evenfeed {

/// A profile or a scene: from a file, or built into the program.
struct NamedText {
  std::string name;            ///< without folder and ".toml"
  std::filesystem::path file;  ///< empty: built in
  std::string place;           ///< for messages: the file, or "NAME (built in)"
  std::string text;
};

/// The profile meant by `name`: itself when it is a file; else NAME.toml in
/// the folder the environment variable EVENFEED_PROFILES names, in
/// ../share/evenfeed/profiles as seen from the program's folder (installed),
/// in ../profiles (a build tree within its sources); else the one of that name
/// built into the program. Throws InputError that lists the profiles there are
/// when none of these exists.
NamedText find_profile(const std::string& name);
/// The same of `name` that stands in the file `place`, which a refusal names.
NamedText find_profile_of(const std::string& place, const std::string& name);
/// The same for scenes, in the folder scenes/ of those folders.
NamedText find_scene(const std::string& name);
/// The scenes there are, joined by commas.
std::string scene_names();

/// Throws InputError naming place, line and key.
Profile load_profile(const NamedText& profile);

}  // namespace evenfeed
