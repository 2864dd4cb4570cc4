// SPDX-License-Identifier: MIT
#include "pipeline/profile.h"

#include "base/atomic_file.h"
#include "base/units.h"
#include "flight/characteristics.h"

#include <fmt/format.h>

namespace evenfeed {
namespace {

SamplePlane load_sample(const TomlTable& sample) {
  SamplePlane plane;
  plane.x_m = m_from_mm(sample.number("x_mm", mm_from_m(plane.x_m)));
  plane.sd_m = m_from_mm(sample.number("x_sd_mm", 0));
  if (plane.sd_m < 0) {
    sample.refuse("x_sd_mm",
                  "an uncertainty is not below 0",
                  "Give it in mm; 0 takes x_mm for the truth");
  }
  if (!sample.has("lean_deg")) return plane;
  plane.lean_rad = rad_from_deg(sample.number("lean_deg"));
  if (std::abs(*plane.lean_rad) > rad_from_deg(80)) {
    sample.refuse("lean_deg",
                  "a sample that lies nearly flat cannot be hit by a feed",
                  "Give the lean from the vertical, -80 to 80");
  }
  return plane;
}

std::map<std::string, double> load_calipers(const TomlTable& calipers) {
  std::map<std::string, double> limits;
  for (const std::string& name : calipers.keys()) {
    if (!find_characteristic(name)) {
      calipers.refuse(name,
                      "this is not a characteristic of a feed",
                      "Use a column name of feeds.csv");
    }
    const double limit = calipers.number(name);
    if (limit <= 0) {
      calipers.refuse(
          name, fmt::format("{} is not above 0", limit), "Write a width");
    }
    limits[name] = limit;
  }
  return limits;
}

}  // namespace

Profile load_profile(const std::filesystem::path& path) {
  return parse_profile(read_file(path), path.string());
}

Profile parse_profile(std::string_view text, const std::string& name) {
  const TomlTable root = TomlTable::parse(text, name);
  Profile profile;
  profile.surface = load_surface(root.table("surface"));
  profile.flight = load_flight_options(root);
  profile.flight.table = table_top(profile.surface);
  profile.calibration =
      load_calibration_limits(root.table_or_empty("calibration"));
  profile.landing_zone = load_landing_zone(root.table("landing_zone"));
  profile.sample = load_sample(root.table_or_empty("sample"));
  profile.calipers = load_calipers(root.table_or_empty("calipers"));
  profile.quality = load_quality(root);
  profile.wear = load_wear(root.table_or_empty("wear"));
  root.refuse_unknown();
  return profile;
}

}  // namespace evenfeed
