// SPDX-License-Identifier: MIT
#include "detection/shade_memory.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

namespace evenfeed {
namespace {

constexpr double kFirstCount = 4;      // sightings the first guess stands for
constexpr double kMostCount = 300;     // older sightings fade
constexpr double kPartsSpread = 0.08;  // true change from place to place
constexpr double kEdgeSpread_px = 0.1;

// Turns a lamp as seen along the ray into the camera frame (x right, y down,
// z forward), by the least turn that takes the lens axis to the ray.
Eigen::Quaterniond turn_to(const Eigen::Vector3d& ray_in_camera) {
  return Eigen::Quaterniond::FromTwoVectors(Eigen::Vector3d::UnitZ(),
                                            ray_in_camera);
}

}  // namespace

ShadePrior ShadeMemory::at(const Eigen::Vector3d& ray_in_camera) const {
  ShadePrior prior = first_;
  const double doubt = kFirstCount / (kFirstCount + count_);
  const Eigen::Vector3d lamp = turn_to(ray_in_camera).conjugate() *
                               Eigen::Vector3d(mean_(1), mean_(2), -mean_(3));
  prior.parts = {mean_(0), lamp.x(), lamp.y(), -lamp.z()};
  prior.parts_sd = std::hypot(first_.parts_sd * std::sqrt(doubt), kPartsSpread);
  prior.edge_px = edge_px_;
  prior.edge_sd_px =
      std::hypot(first_.edge_sd_px * std::sqrt(doubt), kEdgeSpread_px);
  return prior;
}

void ShadeMemory::take(const Eigen::Vector4d& parts,
                       double edge_px,
                       const Eigen::Vector3d& ray_in_camera) {
  if (!parts.allFinite() || !std::isfinite(edge_px)) return;
  const Eigen::Vector3d lamp =
      turn_to(ray_in_camera) * Eigen::Vector3d(parts(1), parts(2), -parts(3));
  const Eigen::Vector4d seen(parts(0), lamp.x(), lamp.y(), -lamp.z());
  count_ = std::min(count_ + 1, kMostCount);
  mean_ += (seen - mean_) / (kFirstCount + count_);
  edge_px_ += (edge_px - edge_px_) / (kFirstCount + count_);
}

}  // namespace evenfeed
