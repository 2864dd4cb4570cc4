// SPDX-License-Identifier: MIT
// All feeds leave one mouth. A flight that does not pass where the others
// began is no feed, however much it looks like one: a ball that came back from
// the floor, the net or the launcher itself.
#pragma once

#include "flight/feed_finder.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// Where the first arc passes the plane x = x_m across the table: y and z,
/// in m; nullopt when it never does.
[[nodiscard]] std::optional<Eigen::Vector2d> passing_point(
    const FlightVector& p, const FlightOptions& options, double x_m);

/// The plane across the table that a feed counts as launched on: the nearest
/// place to the launcher where every feed has been seen. NaN when the first
/// sightings lie at the picture's edge: then the launcher is out of view.
[[nodiscard]] double launch_line_m(const std::vector<FoundFeed>& found,
                                   const CameraModel& camera,
                                   const FlightOptions& options);

/// The height at which feeds pass the launch line, as a first guess.
[[nodiscard]] std::optional<LaunchHeight> launch_height(
    const std::vector<FoundFeed>& found,
    const FlightOptions& options,
    double launch_x_m);

/// Moves such flights to `strays`, unless what they leave uncertain may be the
/// reason, and returns how many. Needs 5 feeds with a seen bounce; fewer do not
/// show where the mouth is, and nothing is moved.
int drop_flights_from_elsewhere(std::vector<FoundFeed>& found,
                                std::vector<Track>& strays,
                                const FlightOptions& options);

}  // namespace evenfeed
