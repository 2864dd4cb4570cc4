// SPDX-License-Identifier: MIT
// Where a ball flies, roughly, from a few lines of sight of one camera: a line
// says nothing about the distance along it, but the fall is known, and what a
// launcher can do is believed in roughly. Least squares of the distances
// between lines and flight, with those beliefs as priors; linear but for the
// drag, which is taken from the solution before.
#pragma once

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A line of sight and when it was looked along.
struct SightLine {
  Eigen::Vector3d direction;  ///< in the table frame, of unit length
  double t_s = 0;
};

struct RoughFlight {
  Eigen::Vector3d at_m;          ///< at the last line's time
  Eigen::Vector3d velocity_mps;  ///< then
  double s_along_mps = 0;        ///< standard deviation of velocity_mps.x()
  double beside_mrad = 0;        ///< rms angle between lines and flight
};

/// `lines` from the eye (table frame), in order of time, two at least;
/// `sd_rad` of a line's direction.
[[nodiscard]] RoughFlight rough_flight(const Eigen::Vector3d& eye_m,
                                       const std::vector<SightLine>& lines,
                                       double sd_rad);

}  // namespace evenfeed
