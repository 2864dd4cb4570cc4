// SPDX-License-Identifier: MIT
#include "geometry/landing_zone.h"

#include "base/units.h"

namespace evenfeed {

bool LandingZone::contains(const Eigen::Vector2d& x_in_table_m) const {
  return (x_in_table_m.array() >= low_m.array()).all() &&
         (x_in_table_m.array() <= high_m.array()).all();
}

LandingZone load_landing_zone(const TomlTable& table) {
  LandingZone zone;
  int axis = 0;
  for (const char* key : {"x_mm", "y_mm"}) {
    const auto ends_mm = table.numbers(key, 2);
    if (ends_mm[0] >= ends_mm[1]) {
      table.refuse(key, "the first number is not the smaller", "Swap them");
    }
    zone.low_m[axis] = m_from_mm(ends_mm[0]);
    zone.high_m[axis] = m_from_mm(ends_mm[1]);
    ++axis;
  }
  return zone;
}

}  // namespace evenfeed
