// SPDX-License-Identifier: MIT
// Whether a solved camera can be, and is known well enough to measure with. A
// small residual does not tell: half a table taken for the whole fits as well
// as the table, through a lens that is not made, or with an eye anywhere
// within a metre.
#pragma once

#include "geometry/bench.h"
#include "geometry/surface.h"

#include <string>

namespace evenfeed {

struct PlausibleCamera {
  /// Across the picture. Lenses without a fisheye's distortion, which two
  /// radial terms cannot follow, end near 115 degrees.
  double widest_view_rad = 2.1;
  /// Of a 400 mm lens on a full frame, 5 degrees; nobody films a bench so.
  double narrowest_view_rad = 0.07;
  /// Outward, of a point at the middle of the picture's left or right edge,
  /// part of its distance from the centre. Lenses bend inward, or outward by a
  /// few hundredths; two halves that are not in one line ask for half.
  double most_outward_bend = 0.15;
  /// Inward by the second radial term there: what a lens bends inward levels
  /// off towards the edge (k2 above 0). The centre line read as a side line
  /// asked for 0.12, right tables ask for 0.03 at most.
  double most_steepening = 0.06;
  /// Of the eye above the surface: lower, lines and feeds are seen end on ...
  double lowest_eye_m = 0.1;
  double highest_eye_m = 12;   ///< ... and higher, a hall has its roof
  double farthest_eye_m = 30;  ///< from the surface's middle, a hall's length
  /// One sd of the eye, part of its distance from the surface's middle. Right
  /// tables leave 0.2 to 3 %.
  double eye_sd = 0.06;
  double focal_sd = 0.06;  ///< one sd of the focal length, relative
  /// One sd of a landing where the picture shows the receiving half, from the
  /// camera alone: what feeds may differ by across to be called alike.
  double landing_sd_m = 0.02;
  void check() const;
};

/// Of a table whose lines cannot be others: they are named by marks, or show
/// all of it. From straight above, height and focal length change a picture
/// alike, and both may be known badly where every place on the table is known
/// well; what is measured carries that. Wrong readings, which the closer bounds
/// keep out, left a third of the distance open.
[[nodiscard]] PlausibleCamera when_surely_read();

/// Why this camera is not to be believed and what to do; empty when it is.
/// `marginal` is of the parameters themselves, `covariance` of what is measured
/// with them (see CameraSolution).
[[nodiscard]] std::string why_implausible(const CameraModel& camera,
                                          const CameraCovariance& marginal,
                                          const CameraCovariance& covariance,
                                          const Surface& surface,
                                          const PlausibleCamera& bounds = {});

/// Covariance of the eye in the table frame, from one of the nine parameters.
Eigen::Matrix3d eye_covariance_m2(const CameraModel& camera,
                                  const CameraCovariance& covariance);

}  // namespace evenfeed
