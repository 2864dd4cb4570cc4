// SPDX-License-Identifier: MIT
// A feed as it flew: its fitted flight as places along the way, and the
// sightings that it was fitted to. For drawing; what is judged stands in Feed.
#pragma once

#include "flight/return_fit.h"

#include <optional>
#include <string_view>
#include <vector>

namespace evenfeed {

enum class Leg {
  kIn,    ///< from the launcher to the bounce
  kOut,   ///< from the bounce to the sample, or to where it was last seen
  kBack,  ///< what the sample returned
};

enum class FlightMark { kNone, kBounce, kContact, kHighest, kNet };

std::string_view leg_name(Leg leg);
std::optional<Leg> find_leg(std::string_view name);
/// "bounce", "contact", "highest", "net"; empty for kNone.
std::string_view mark_name(FlightMark mark);
std::optional<FlightMark> find_mark(std::string_view name);

/// A place on the flight.
struct FlownPoint {
  Leg leg = Leg::kIn;
  FlightMark mark = FlightMark::kNone;
  double t_s = 0;
  Eigen::Vector3d x_in_table_m = Eigen::Vector3d::Zero();
  /// Where the calibrated camera sees it.
  Eigen::Vector2d place_px = Eigen::Vector2d::Zero();
  /// Where the film shows it: elsewhere if the camera was moved.
  Eigen::Vector2d film_px = Eigen::Vector2d::Zero();
};

struct FlownFeed {
  int number = 0;  ///< Feed::number
  /// Of the feed and of what came back, in order of time; empty for feeds read
  /// from a file.
  std::vector<Sighting> sightings;
  /// Leg by leg, in order of time, no further apart than kPathStep_s; empty
  /// when the feed could not be fitted.
  std::vector<FlownPoint> path;
};

/// Straight lines between places so far apart leave a fall of 0.12 mm out.
inline constexpr double kPathStep_s = 0.010;

/// The flight of one feed and of its return, as far as they are known:
/// `returned` counts if its fit is ok, `feed` if it is not unmeasured. Points
/// the camera cannot see are left out. The return's highest place is marked
/// only if it rises, its net crossing only if it passes x = net_x_m before it
/// lands.
[[nodiscard]] FlownFeed flown_feed(const FoundFeed& found,
                                   const ReturnFit& returned,
                                   const Feed& feed,
                                   const CameraModel& camera,
                                   const FlightOptions& options,
                                   double net_x_m);

}  // namespace evenfeed
