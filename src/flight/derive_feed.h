// SPDX-License-Identifier: MIT
// From a fitted flight to the characteristics of a feed, each with its
// standard uncertainty by linear propagation (propagate.h).
#pragma once

#include "flight/feed.h"
#include "flight/trajectory_fit.h"

#include <array>
#include <limits>
#include <optional>

namespace evenfeed {

/// Where a feed begins and ends, in the table frame.
struct FeedEnds {
  /// Plane x = launch_x_m on which a feed counts as launched; NaN when the
  /// launcher's mouth is not in view.
  double launch_x_m = std::numeric_limits<double>::quiet_NaN();
  /// The sample's plane: passes through (sample_x_m, 0, sample_z_m), leans back
  /// by sample_lean_rad from the vertical (top away from the launcher). NaN
  /// when nobody said where it stands.
  double sample_x_m = std::numeric_limits<double>::quiet_NaN();
  double sample_z_m = 0;
  double sample_sd_m = 0;  ///< its uncertainty, common to all feeds
  double sample_lean_rad = 0;
  /// What the lean is uncertain by: it moves the plane the more, the farther
  /// from sample_z_m a feed meets it.
  double sample_lean_sd_rad = 0;
  double net_x_m = 0;  ///< where a return passes the net
};

/// Values and uncertainties of one fitted feed; number is left at 0. The
/// contact is empty when the ball does not reach the sample's plane before it
/// would bounce again, or nobody knows where that is; what comes after the
/// bounce is empty when the bounce was not seen.
[[nodiscard]] Feed derive_feed(const FlightFit& fit,
                               const FlightOptions& options,
                               const FeedEnds& ends);

/// What a unit along each column of `root` moves the characteristics by, in the
/// order of characteristics(); NaN where one is not known.
[[nodiscard]] Eigen::Matrix<double, kCharacteristicCount, kFlightParameters>
characteristic_root(const FlightVector& p,
                    const FlightCovariance& root,
                    const FlightOptions& options,
                    const FeedEnds& ends);

/// How the characteristics change with the place of the sample's plane, per
/// metre, in the order of characteristics(); NaN where there is no contact.
std::array<double, kCharacteristicCount> sample_place_slopes(
    const FlightVector& p, const FlightOptions& options, const FeedEnds& ends);

/// What a plane is off along x at height z_m when its lean is one sd off.
double lean_doubt_m(const FeedEnds& ends, double z_m);

/// The ball as it touches the sample's plane.
struct Contact {
  double t_s = 0;
  Eigen::Vector3d centre_m = Eigen::Vector3d::Zero();
  double closing_mps = 0;  ///< how fast its centre nears the plane
};

/// nullopt where derive_feed() leaves the contact empty.
std::optional<Contact> contact_of(const FlightVector& p,
                                  const FlightOptions& options,
                                  const FeedEnds& ends);

/// When the flight crosses x = x_m on one arc; NaN when it never does within
/// two seconds of the bounce.
double time_at_x_s(const FlightVector& p,
                   const FlightOptions& options,
                   Arc arc,
                   double x_m);

}  // namespace evenfeed
