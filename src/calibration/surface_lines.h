// SPDX-License-Identifier: MIT
// The lines of a surface as calibration looks for them: each a bright bar
// between two straight edges in the table frame. Painted lines lie on the
// surface; the net's top tape is a bar at the net's height, which is what
// tells a camera straight above how high it hangs.
#pragma once

#include "geometry/surface.h"

#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A straight bar with a low and a high edge (smaller and larger x or y).
struct SurfaceLine {
  std::string name;
  Eigen::Vector3d low_from_m, low_to_m;    ///< one edge
  Eigen::Vector3d high_from_m, high_to_m;  ///< the other, same direction
  bool along_x = false;    ///< runs along x (side lines), else along y
  bool on_border = false;  ///< one edge is the surface's own edge
  bool net = false;        ///< the net's top tape, not paint
  /// Only the low edge can be trusted; the high one is a rough guess.
  bool low_only = false;
  /// How well its place on the table is known, along x and z (net only).
  double place_sd_m = 0;

  double width_m() const { return (high_from_m - low_from_m).norm(); }
  double length_m() const { return (low_to_m - low_from_m).norm(); }
  /// Points at `along` in [0, 1].
  Eigen::Vector3d low_m(double along) const {
    return low_from_m + along * (low_to_m - low_from_m);
  }
  Eigen::Vector3d high_m(double along) const {
    return high_from_m + along * (high_to_m - high_from_m);
  }
  /// The point that, averaged with low_m(), gives what is measured.
  Eigen::Vector3d seen_high_m(double along) const {
    return low_only ? low_m(along) : high_m(along);
  }
  Eigen::Vector3d middle_m(double along) const {
    return (low_m(along) + high_m(along)) / 2;
  }
};

/// The painted lines of a surface, each along its longer side.
std::vector<SurfaceLine> painted_lines(const Surface& surface);

/// The net's white tape, `band_m` high below the net's top, as seen from
/// `eye_x_m`: its low edge is the outline of the top against what lies beyond,
/// the one edge that neither the light on the tape nor its height changes. The
/// tape is taken to be 4 mm thick.
SurfaceLine net_tape(const Net& net,
                     double band_m,
                     double place_sd_m,
                     double eye_x_m);

/// `lines` with their net tape, if any, as seen from `eye_x_m`.
std::vector<SurfaceLine> facing(std::vector<SurfaceLine> lines,
                                const Net& net,
                                double eye_x_m);

/// The surface turned by 180 degrees about z has the same lines and net, so
/// that a picture of it does not tell the two ends apart.
bool is_half_turn_symmetric(const Surface& surface);

}  // namespace evenfeed
