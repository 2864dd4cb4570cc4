// SPDX-License-Identifier: MIT
#include "cli/profile_lookup.h"

#include "base/atomic_file.h"
#include "base/error.h"
#include "base/nearest.h"
#include "cli/shipped_files.h"

#include <algorithm>
#include <cstdlib>
#include <set>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace evenfeed {
namespace {

namespace fs = std::filesystem;

struct Kind {
  const char* words;
  const char* folder;  // below the folder of the profiles; "" is itself
};
constexpr Kind kProfile{"profile", ""};
constexpr Kind kScene{"scene", "scenes/"};

std::vector<fs::path> folders_of(const Kind& kind) {
  std::vector<fs::path> folders;
  if (const char* own = std::getenv("EVENFEED_PROFILES"); own && *own) {
    folders.emplace_back(own);
  }
  std::error_code unknown;
  const fs::path program = fs::read_symlink("/proc/self/exe", unknown);
  if (!unknown) {
    const fs::path above = program.parent_path().parent_path();
    folders.push_back(above / "share/evenfeed/profiles");
    folders.push_back(above / "profiles");
  }
  for (fs::path& folder : folders) folder /= kind.folder;
  return folders;
}

// The name within the kind when `shipped` is of it, else empty.
std::string_view name_in(const Kind& kind, const ShippedFile& shipped) {
  const std::string_view folder = kind.folder;
  if (!shipped.name.starts_with(folder)) return {};
  const std::string_view name = shipped.name.substr(folder.size());
  return name.find('/') == std::string_view::npos ? name : std::string_view();
}

std::set<std::string> names_of(const Kind& kind) {
  std::set<std::string> names;
  for (const fs::path& folder : folders_of(kind)) {
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(folder, none)) {
      if (entry.path().extension() == ".toml") {
        names.insert(entry.path().stem().string());
      }
    }
  }
  for (const ShippedFile& shipped : shipped_files()) {
    if (const auto name = name_in(kind, shipped); !name.empty()) {
      names.emplace(name);
    }
  }
  return names;
}

NamedText text_of_file(const fs::path& file) {
  return {file.stem().string(), file, file.string(), read_file(file)};
}

// `place`: the option or the line of a file where it is wanted.
NamedText find(const Kind& kind,
               const std::string& wanted,
               const std::string& place) {
  std::error_code none;
  if (fs::is_regular_file(wanted, none)) return text_of_file(wanted);
  for (const fs::path& folder : folders_of(kind)) {
    const fs::path file = folder / (wanted + ".toml");
    if (fs::is_regular_file(file, none)) return text_of_file(file);
  }
  for (const ShippedFile& shipped : shipped_files()) {
    if (name_in(kind, shipped) == wanted && !wanted.empty()) {
      return {wanted, {}, wanted + " (built in)", std::string(shipped.text)};
    }
  }
  const std::set<std::string> known = names_of(kind);
  throw InputError(
      place,
      fmt::format("neither a file nor a known {}{}",
                  kind.words,
                  did_you_mean(wanted, {known.begin(), known.end()})),
      fmt::format("Give the path of a {} file, or one of: {}",
                  kind.words,
                  fmt::join(known, ", ")));
}

}  // namespace

NamedText find_profile(const std::string& name) {
  return find(kProfile, name, fmt::format("--profile {}", name));
}

NamedText find_profile_of(const std::string& place, const std::string& name) {
  return find(kProfile, name, fmt::format("{}: profile = \"{}\"", place, name));
}

NamedText find_scene(const std::string& name) {
  return find(kScene, name, fmt::format("--scene {}", name));
}

std::string scene_names() {
  return fmt::format("{}", fmt::join(names_of(kScene), ", "));
}

Profile load_profile(const NamedText& profile) {
  return parse_profile(profile.text, profile.place);
}

}  // namespace evenfeed
