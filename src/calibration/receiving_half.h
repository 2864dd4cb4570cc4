// SPDX-License-Identifier: MIT
// The receiving half alone. The halves of folding tables tilt at the net or do
// not lie in one line; balls are measured on one of them.
#pragma once

#include "calibration/camera_solver.h"
#include "calibration/surface_lines.h"
#include "geometry/surface.h"

#include <vector>

namespace evenfeed {

/// The lines that have a part beyond the net, cut there; the net too.
[[nodiscard]] std::vector<SurfaceLine> receiving_half_lines(
    const std::vector<SurfaceLine>& lines, const Net& net);

/// All of them lie on it or at the net.
[[nodiscard]] bool on_receiving_half(const std::vector<MarkedPoint>& marks,
                                     const Net& net);

}  // namespace evenfeed
