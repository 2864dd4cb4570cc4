// SPDX-License-Identifier: MIT
// Time stamps that a container has rounded. Matroska and WebM count whole
// milliseconds: a film of 60 frames a second then steps by 16, 17, 17 ms, and
// half a millisecond is 5 mm of a ball's way at 10 m/s. A film of even rate
// gives itself away: every stamp lies within rounding of one regular grid,
// whatever frames were dropped.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace evenfeed {

/// Stamp n of the grid is first + n * step, in ticks of the container.
struct StampGrid {
  double first = 0;
  double step = 0;

  /// The grid's stamp nearest to a rounded one.
  double nearest(std::int64_t ticks) const;
};

/// The regular grid that all stamps were rounded from, in ticks, by least
/// squares. nullopt when there is none (a rate that varies: the stamps are then
/// the best there is), or too few stamps to tell. Any order; equal stamps are
/// taken once.
[[nodiscard]] std::optional<StampGrid> regular_grid(
    std::vector<std::int64_t> stamps);

}  // namespace evenfeed
