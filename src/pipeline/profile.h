// SPDX-License-Identifier: MIT
// A whole profile: everything evenfeed knows about one game before it sees a
// film. Each section is read by the part it belongs to; a key that no part
// knows is refused.
#pragma once

#include "calibration/calibration.h"
#include "flight/flight_options.h"
#include "geometry/landing_zone.h"
#include "geometry/surface.h"
#include "quality/options.h"
#include "wear/options.h"

#include <filesystem>
#include <limits>
#include <map>
#include <optional>
#include <string>

namespace evenfeed {

/// The plane the sample is clamped in at the receiving end.
struct SamplePlane {
  /// Where it meets the surface's plane; NaN when nobody says.
  double x_m = std::numeric_limits<double>::quiet_NaN();
  double sd_m = 0;  ///< how well that is believed; 0: it is the truth
  /// Top away from the launcher; upright when only its place is told, from the
  /// returns when nothing is.
  std::optional<double> lean_rad;
};

struct Profile {
  Surface surface;
  FlightOptions flight;
  CalibrationLimits calibration;
  LandingZone landing_zone;
  SamplePlane sample;
  /// How alike two feeds must be to be compared, by characteristic column, in
  /// the unit of the column.
  std::map<std::string, double> calipers;
  QualityOptions quality;
  WearOptions wear;
};

/// Throws InputError naming file, line and key.
Profile load_profile(const std::filesystem::path& path);
Profile parse_profile(std::string_view text, const std::string& name);

}  // namespace evenfeed
