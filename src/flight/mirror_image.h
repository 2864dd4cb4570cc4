// SPDX-License-Identifier: MIT
// A glossy table shows each ball a second time, upside down, as far below the
// surface as the ball is above it. Each picture of both places the ball in
// space: where its line of sight meets the other's, mirrored. What is placed so
// in picture after picture and falls as a ball does is one ball and its image.
// They meet at the bounce, where tracks change over from one to the other.
#pragma once

#include "flight/track.h"
#include "geometry/camera_model.h"

#include <optional>

namespace evenfeed {

/// The ball's own sightings out of two tracks, if one is the other's image in
/// the surface as long as six pictures show both; nothing else.
[[nodiscard]] std::optional<Track> without_mirror_image(
    const Track& one, const Track& other, const CameraModel& camera);

}  // namespace evenfeed
