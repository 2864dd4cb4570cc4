// SPDX-License-Identifier: MIT
// What detection hands to the flight fit: never an image.
#pragma once

#include <limits>

#include <Eigen/Core>

namespace evenfeed {

/// One look at a ball in one frame.
struct Sighting {
  /// Middle of the exposure of the row the ball was on, s after the first
  /// frame's stamp.
  double t_s = 0;
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  /// Standard deviation of the centre, per axis.
  double sigma_px = 0.3;
  /// Apparent diameter across the streak; NaN when not measured.
  double diameter_px = std::numeric_limits<double>::quiet_NaN();
  /// Motion during the exposure as (du, dv); the sign is not known. Zero when
  /// not measured.
  Eigen::Vector2d streak_px = Eigen::Vector2d::Zero();
  /// Mean brightness step against the background, grey levels 0..255.
  double contrast = 0;
  /// The ball touches the picture's edge or something that hides part of it.
  bool cut_off = false;
  /// The row that tells when a rolling shutter came by, once a fit knows it
  /// better than the sighting; NaN: the centre's.
  double fitted_row_px = std::numeric_limits<double>::quiet_NaN();
  int frame = -1;  ///< frame number, -1 when the source has none
  int track = -1;  ///< track label of the source, -1 when it has none
};

}  // namespace evenfeed
