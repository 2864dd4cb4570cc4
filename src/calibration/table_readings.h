// SPDX-License-Identifier: MIT
// The same four lines read otherwise: the rectangle taken for the whole surface
// as one half of it (the net taken for an end, or the centre line for a side),
// one half as the whole, or turned by a right angle. A table is to be believed
// only if no other reading explains the picture as well.
#pragma once

#include "geometry/camera_model.h"
#include "geometry/surface.h"

#include <vector>

namespace evenfeed {

/// Rough cameras, without those that no lens shows so.
[[nodiscard]] std::vector<CameraModel> other_readings(const CameraModel& camera,
                                                      const Surface& surface);

/// Whether both show the surface at the same place, whichever end is called
/// near: no corner of what is in the picture farther apart than `near_px`.
[[nodiscard]] bool shows_same_table(const CameraModel& a,
                                    const CameraModel& b,
                                    const Surface& surface,
                                    double near_px);

/// Whether the surfaces overlap in the picture: two readings of one table, not
/// two tables.
[[nodiscard]] bool overlap(const CameraModel& a,
                           const CameraModel& b,
                           const Surface& surface);

}  // namespace evenfeed
