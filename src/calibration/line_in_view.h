// SPDX-License-Identifier: MIT
// How long a line is where the picture shows it. A table that is cut off by the
// picture, or reaches behind the camera, has lines whose other end lies far out
// of the picture or nowhere in it: lengths taken to there mean nothing.
#pragma once

#include "calibration/surface_lines.h"
#include "geometry/camera_model.h"

#include <optional>

#include <Eigen/Core>

namespace evenfeed {

/// Where `line`, followed inward from one of its ends, leaves the picture, or
/// its other end; nullopt when it does not begin within the picture.
[[nodiscard]] std::optional<Eigen::Vector2d> far_in_view(
    const CameraModel& camera, const SurfaceLine& line, bool from_low);

}  // namespace evenfeed
