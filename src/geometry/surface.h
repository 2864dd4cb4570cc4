// SPDX-License-Identifier: MIT
// The playing surface as the profile describes it: its edge, its painted lines
// and its net, in the table frame (origin at the centre, x to the receiving
// end, z up). Boundary units are mm; here everything is metres.
#pragma once

#include "base/toml_file.h"

#include <string>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A painted line: the axis-aligned rectangle it covers on the surface.
struct PaintedLine {
  std::string name;
  Eigen::Vector2d low_m = Eigen::Vector2d::Zero();   ///< smallest x and y
  Eigen::Vector2d high_m = Eigen::Vector2d::Zero();  ///< largest x and y
};

/// A net across the surface at x = x_m, from y = -half_width to half_width.
struct Net {
  bool present = false;
  double x_m = 0;
  double height_m = 0;      ///< of its top above the surface, at the posts
  double half_width_m = 0;  ///< to the outside of the posts
};

/// A point with a name that a person or the finder can mark in the picture.
struct Landmark {
  std::string name;
  Eigen::Vector3d x_in_table_m = Eigen::Vector3d::Zero();
};

struct Surface {
  std::string name;
  double length_m = 0;              ///< along x, to the outer edge of the lines
  double width_m = 0;               ///< along y
  double height_above_floor_m = 0;  ///< 0 for a court
  std::vector<PaintedLine> lines;
  Net net;

  /// Corners of the surface and of every painted line, crossings of the lines'
  /// edges, net and post tops. Names: "corner_near_left", "net_top_left", ...
  /// (near = launcher side, x < 0; left = y > 0); a line's corners are
  /// "<line>_<near|far>_<left|right>".
  [[nodiscard]] std::vector<Landmark> landmarks() const;
  bool contains(const Eigen::Vector2d& x_in_table_m, double margin_m = 0) const;
  void check() const;
};

/// Reads the [surface] section of a profile (and [[surface.line]],
/// [surface.net]); refuses what is missing or impossible.
[[nodiscard]] Surface load_surface(const TomlTable& surface);

/// The ball as geometry and simulation need it.
struct Ball {
  double radius_m = 0.02015;
  double mass_kg = 0.0027;
  void check() const;
};
/// Reads radius_mm and mass_g of the [ball] section.
[[nodiscard]] Ball load_ball(const TomlTable& ball);

}  // namespace evenfeed
