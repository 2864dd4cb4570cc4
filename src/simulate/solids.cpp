// SPDX-License-Identifier: MIT
#include "simulate/solids.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

namespace evenfeed {
namespace {

// v turned about the y axis.
Eigen::Vector3d turn(const Eigen::Vector3d& v, double cosine, double sine) {
  return {cosine * v.x() + sine * v.z(), v.y(), -sine * v.x() + cosine * v.z()};
}

}  // namespace

std::optional<Hit> meet(const Box& box, const Ray& ray) {
  const double c = box.turn_y_rad == 0 ? 1 : std::cos(box.turn_y_rad);
  const double s = box.turn_y_rad == 0 ? 0 : std::sin(box.turn_y_rad);
  const Eigen::Vector3d o = turn(ray.origin_m - box.middle_m, c, -s);
  const Eigen::Vector3d d = turn(ray.direction, c, -s);
  double enter = 1e-6;
  double leave = 1e30;
  int axis = -1;
  for (int i = 0; i < 3; ++i) {
    if (d[i] == 0) {
      if (std::abs(o[i]) > box.half_m[i]) return std::nullopt;
      continue;
    }
    const double near = (-std::copysign(box.half_m[i], d[i]) - o[i]) / d[i];
    const double far = (std::copysign(box.half_m[i], d[i]) - o[i]) / d[i];
    if (near > enter) {
      enter = near;
      axis = i;
    }
    leave = std::min(leave, far);
  }
  if (axis < 0 || enter >= leave) return std::nullopt;
  Eigen::Vector3d normal = Eigen::Vector3d::Zero();
  normal[axis] = d[axis] > 0 ? -1 : 1;
  return Hit{enter, turn(normal, c, s), 2 * axis + (d[axis] > 0 ? 1 : 0)};
}

Approach approach(const Capsule& capsule, const Ray& ray) {
  const Eigen::Vector3d axis = capsule.b_m - capsule.a_m;
  const Eigen::Vector3d from = ray.origin_m - capsule.a_m;
  const double aa = axis.squaredNorm();
  const double ad = axis.dot(ray.direction);
  double along = 0;  // 0..1 from a to b
  if (aa > 0) {
    const double down = aa - ad * ad;
    along = down > 1e-12 * aa
                ? (axis.dot(from) - ad * ray.direction.dot(from)) / down
                : 0;
    along = std::clamp(along, 0.0, 1.0);
  }
  const Eigen::Vector3d to_point = along * axis - from;
  const double t = to_point.dot(ray.direction);
  return {(to_point - t * ray.direction).norm(), t};
}

std::optional<Hit> meet(const Capsule& capsule, const Ray& ray) {
  const Approach nearest = approach(capsule, ray);
  if (nearest.distance_m >= capsule.radius_m || nearest.t_m <= 0) {
    return std::nullopt;
  }
  const Eigen::Vector3d axis = capsule.b_m - capsule.a_m;
  const double aa = axis.squaredNorm();
  // Step from outside towards the surface by the distance that is left.
  double t = std::max(1e-6, nearest.t_m - 4 * capsule.radius_m - axis.norm());
  Eigen::Vector3d outward = Eigen::Vector3d::UnitZ();
  for (int i = 0; i < 64; ++i) {
    const Eigen::Vector3d x = ray.origin_m + t * ray.direction - capsule.a_m;
    const double along = aa > 0 ? std::clamp(x.dot(axis) / aa, 0.0, 1.0) : 0.0;
    outward = x - along * axis;
    const double left = outward.norm() - capsule.radius_m;
    t += left;
    if (left < 1e-4 * capsule.radius_m) break;
  }
  return Hit{t, outward.normalized(), 0};
}

}  // namespace evenfeed
