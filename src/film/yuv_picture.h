// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <vector>

namespace evenfeed {

/// A picture as a film stores it: planes Y, U, V, the last two half as wide
/// and high, rows without gaps.
struct YuvPicture {
  int width_px = 0;
  int height_px = 0;
  std::vector<std::uint8_t> y, u, v;
};

}  // namespace evenfeed
