// SPDX-License-Identifier: MIT
// What stands in the hall and does not move, and what a ray sees of it.
#pragma once

#include "simulate/light.h"
#include "simulate/solids.h"

#include <vector>

namespace evenfeed {

/// What one line of sight ends on.
struct Look {
  Eigen::Vector3d light = Eigen::Vector3d::Zero();  ///< linear red green blue
  double depth_m = 1e30;      ///< to the first thing that is not the net
  double net_depth_m = 1e30;  ///< to the net's mesh, where it is in front
  bool table = false;         ///< ends on the playing surface
  bool floor = false;
  int id = 0;  ///< differs where an edge may lie between
};

class Hall {
 public:
  explicit Hall(const Scene& scene);
  Look look(const Ray& ray) const;
  const Light& light() const { return light_; }
  /// Part of the light that the net's mesh holds back.
  static constexpr double kMesh = 0.38;

 private:
  Eigen::Vector3d table_colour(const Eigen::Vector2d& x_m, int& id) const;
  Eigen::Vector3d floor_colour(const Eigen::Vector3d& x_m, int& id) const;
  double table_shade(const Eigen::Vector3d& on_floor_m) const;
  double launcher_shade(const Eigen::Vector3d& on_table_m) const;
  void meet_surfaces(const Ray& ray, Look& look) const;
  void meet_solids(const Ray& ray, Look& look) const;
  void meet_net(const Ray& ray, Look& look) const;

  const Scene scene_;
  Light light_;
  std::vector<Box> boxes_;
  std::vector<Capsule> capsules_;
};

}  // namespace evenfeed
