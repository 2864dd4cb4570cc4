// SPDX-License-Identifier: MIT
// The rectangle of the surface where a feed counts, table frame.
#pragma once

#include "base/toml_file.h"

#include <Eigen/Core>

namespace evenfeed {

struct LandingZone {
  Eigen::Vector2d low_m = Eigen::Vector2d::Zero();
  Eigen::Vector2d high_m = Eigen::Vector2d::Zero();

  bool contains(const Eigen::Vector2d& x_in_table_m) const;
};

/// Reads the [landing_zone] section of a profile: x_mm and y_mm, each two
/// numbers, the smaller first.
[[nodiscard]] LandingZone load_landing_zone(const TomlTable& landing_zone);

}  // namespace evenfeed
