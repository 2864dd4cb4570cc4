// SPDX-License-Identifier: MIT
// The few shapes a hall is built from, and where a ray first meets them.
#pragma once

#include "simulate/scene.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A ray x = origin + t direction, t > 0, in the table frame.
struct Ray {
  Eigen::Vector3d origin_m;
  Eigen::Vector3d direction;  ///< unit
};

struct Hit {
  double t_m = 1e30;
  Eigen::Vector3d normal = Eigen::Vector3d::UnitZ();
  int face = 0;  ///< tells the sides of one solid apart
};

/// A cuboid, turned about the y axis through its middle.
struct Box {
  Eigen::Vector3d middle_m;
  Eigen::Vector3d half_m;
  Rgb colour;
  double turn_y_rad = 0;
};

/// A stick with round ends; a sphere when both ends are one point.
struct Capsule {
  Eigen::Vector3d a_m;
  Eigen::Vector3d b_m;
  double radius_m;
  Rgb colour;
};

std::optional<Hit> meet(const Box& box, const Ray& ray);
std::optional<Hit> meet(const Capsule& capsule, const Ray& ray);

/// Least distance between a ray and a capsule's axis, and the way along the
/// ray to that place.
struct Approach {
  double distance_m = 0;
  double t_m = 0;
};
Approach approach(const Capsule& capsule, const Ray& ray);

}  // namespace evenfeed
