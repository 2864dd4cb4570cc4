// SPDX-License-Identifier: MIT
// A glossy table shows each ball a second time, upside down, as far below the
// surface as the ball is above it. One picture of both places the ball in
// space: where its line of sight meets the other's, mirrored.
#pragma once

#include "geometry/camera_model.h"
#include "geometry/sighting.h"
#include "geometry/surface.h"

#include <optional>

namespace evenfeed {

/// A place or direction of the table frame as the surface, z = 0, mirrors it.
Eigen::Vector3d mirrored(Eigen::Vector3d in_table);

struct BallWithImage {
  Eigen::Vector3d at_m;     ///< the ball, table frame
  double s_height_m = 0;    ///< standard deviation of its height
  double beside_px = 0;     ///< how far the image is from where it should be
  double tolerance_px = 0;  ///< what noise and the rows' times may make of that
  double camera_px = 0;     ///< what a camera known to 10 mm may

  bool surely_meet() const { return beside_px <= tolerance_px; }
  bool meet() const { return beside_px <= tolerance_px + camera_px; }
};

/// What `ball` and `image` of one picture are if the one is the other's image
/// in `surface`; nothing where they cannot be, with any noise: the lines do not
/// meet above the surface, no higher than balls fly there, or what is reflected
/// is not seen in the surface. Whether they are, meet() tells.
[[nodiscard]] std::optional<BallWithImage> ball_with_image(
    const Sighting& ball,
    const Sighting& image,
    const CameraModel& camera,
    const Surface& surface);

}  // namespace evenfeed
