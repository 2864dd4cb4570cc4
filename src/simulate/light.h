// SPDX-License-Identifier: MIT
// How much light falls where: one main lamp, light from everywhere, and a
// slow fall along the hall. 1 is the light on the middle of the table.
#pragma once

#include "simulate/scene.h"

#include <Eigen/Core>

namespace evenfeed {

class Light {
 public:
  explicit Light(const Scene& scene);

  /// Unit vector from a point to the lamp.
  Eigen::Vector3d to_lamp(const Eigen::Vector3d& x_m) const {
    return (lamp_m_ - x_m).normalized();
  }
  /// On a matt face with unit normal n.
  double on_face(const Eigen::Vector3d& x_m, const Eigen::Vector3d& n) const;
  /// The slow fall alone.
  double level(const Eigen::Vector3d& x_m) const;
  /// What a glossy table throws towards a viewer (added, not multiplied).
  double glare(const Eigen::Vector3d& x_m,
               const Eigen::Vector3d& to_viewer) const;

  double ambient() const { return ambient_; }
  const Eigen::Vector3d& lamp_m() const { return lamp_m_; }
  double lamp_radius_m() const { return lamp_radius_m_; }

 private:
  Eigen::Vector3d lamp_m_;
  double lamp_radius_m_, ambient_, gradient_, brightness_, glare_, length_m_;
  double lamp_cosine_;  // at the middle of the table
};

}  // namespace evenfeed
