// SPDX-License-Identifier: MIT
// Do two films show the bench from the same place? Then a frame of one may lie
// over a frame of the other; else the table would be seen twice.
#pragma once

#include "pictures/matched_pair.h"

namespace evenfeed {

/// How far apart the two films show the same place of the bench, at most, over
/// both flights and what lies below them on the table. Where a camera was
/// knocked, as it stood during its flight. Infinite for pictures of different
/// size.
[[nodiscard]] double stances_apart_px(const MatchedPair& pair);

/// What lies apart by less is not seen as two: 2 pixels of 720 rows.
[[nodiscard]] double same_stance_px(const CameraModel& camera);

/// `flown` as the film of `in` shows the same places at the flight of `in`.
/// Places that camera does not see are left out.
[[nodiscard]] FlownFeed drawn_into(const FlownFeed& flown,
                                   const PairedTrial& in);

}  // namespace evenfeed
