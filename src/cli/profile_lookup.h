// SPDX-License-Identifier: MIT
// From what the user typed after --profile to the file it means.
#pragma once

#include <filesystem>
#include <string>

namespace evenfeed {

/// The profile file meant by `name`: itself when it is a file; else
/// <name>.toml in the folder the environment variable EVENFEED_PROFILES names;
/// else <name>.toml in profiles/ of the source tree. Throws InputError that
/// lists the profiles there are when none of these exists.
std::filesystem::path find_profile(const std::string& name);

}  // namespace evenfeed
