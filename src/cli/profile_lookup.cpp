// SPDX-License-Identifier: MIT
#include "cli/profile_lookup.h"

#include "base/error.h"

#include <algorithm>
#include <cstdlib>
#include <vector>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

std::vector<fs::path> profile_folders() {
  std::vector<fs::path> folders;
  if (const char* own = std::getenv("EVENFEED_PROFILES"); own && *own) {
    folders.emplace_back(own);
  }
  folders.push_back(fs::path(EVENFEED_SOURCE_DIR) / "profiles");
  return folders;
}

std::string names_in(const std::vector<fs::path>& folders) {
  std::vector<std::string> names;
  for (const fs::path& folder : folders) {
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(folder, none)) {
      if (entry.path().extension() == ".toml") {
        names.push_back(entry.path().stem().string());
      }
    }
  }
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  std::string list;
  for (const std::string& name : names) {
    list += (list.empty() ? "" : ", ") + name;
  }
  return list.empty() ? "none" : list;
}

}  // namespace

fs::path find_profile(const std::string& name) {
  std::error_code none;
  if (fs::is_regular_file(name, none)) return name;
  const std::vector<fs::path> folders = profile_folders();
  for (const fs::path& folder : folders) {
    const fs::path file = folder / (name + ".toml");
    if (fs::is_regular_file(file, none)) return file;
  }
  throw InputError(
      "--profile " + name,
      "neither a file nor a known profile",
      "Give the path of a profile file, or one of: " + names_in(folders));
}

}  // namespace evenfeed
