// SPDX-License-Identifier: MIT
// How much of a flight had been flown at some moment, and where the ball was.
#pragma once

#include "flight/flown_feed.h"
#include "geometry/camera_model.h"

#include <optional>
#include <vector>

namespace evenfeed {

/// The flight as far as the frame stamped t_frame_s shows it: the last point
/// lies where the ball is seen in it.
[[nodiscard]] std::vector<FlownPoint> flown_until(const FlownFeed& feed,
                                                  const CameraModel& camera,
                                                  double t_frame_s);

/// The flight as far as it had been flown at `t_s`; the last point, between
/// two of the path, is where the ball was then.
[[nodiscard]] std::vector<FlownPoint> flown_by(const FlownFeed& feed,
                                               double t_s);

/// Where the ball was at `t_s`; nothing before and after the flight.
[[nodiscard]] std::optional<FlownPoint> flown_at(const FlownFeed& feed,
                                                 double t_s);

/// The first point with this mark; nothing when there is none.
[[nodiscard]] std::optional<FlownPoint> marked_point(const FlownFeed& feed,
                                                     FlightMark mark);

/// Middle of the exposure of the row the ball is seen in; before and after the
/// flight the row of its nearest end, without a flight the middle row.
[[nodiscard]] double moment_of_frame_s(const FlownFeed& feed,
                                       const CameraModel& camera,
                                       double t_frame_s);

}  // namespace evenfeed
