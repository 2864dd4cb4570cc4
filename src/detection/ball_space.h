// SPDX-License-Identifier: MIT
// Where balls fly: the box over the table in which they are looked for.
#pragma once

#include "geometry/surface.h"

namespace evenfeed {

/// How far beyond the edge of the table a ball is still looked for.
struct RegionMargins {
  double along_m = 0.4;   ///< beyond either end
  double across_m = 0.3;  ///< beyond either side
  /// Above the surface: what is launched at 5 m/s must be lobbed, and rises to
  /// a metre on its way across the net.
  double height_m = 1.2;
};

/// About the middle of the table's surface, from it upwards.
struct BallSpace {
  double half_length_m = 0;
  double half_width_m = 0;
  double top_m = 0;
};

[[nodiscard]] inline BallSpace space_over_table(const Surface& surface,
                                                const RegionMargins& margins) {
  return {surface.length_m / 2 + margins.along_m,
          surface.width_m / 2 + margins.across_m,
          margins.height_m};
}

}  // namespace evenfeed
