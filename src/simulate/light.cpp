// SPDX-License-Identifier: MIT
#include "simulate/light.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

Light::Light(const Scene& scene)
    : lamp_m_(scene.look.lamp_m),
      lamp_radius_m_(scene.look.lamp_radius_m),
      ambient_(scene.look.ambient),
      gradient_(scene.look.gradient),
      brightness_(scene.look.brightness),
      glare_(scene.look.glare),
      length_m_(scene.surface.length_m),
      lamp_cosine_(scene.look.lamp_m.normalized().z()) {}

double Light::level(const Eigen::Vector3d& x_m) const {
  return brightness_ *
         (1 - gradient_ * std::tanh(x_m.x() / (0.75 * length_m_)));
}

double Light::on_face(const Eigen::Vector3d& x_m,
                      const Eigen::Vector3d& n) const {
  const double direct = std::max(0.0, n.dot(to_lamp(x_m))) / lamp_cosine_;
  return level(x_m) *
         (ambient_ * (0.7 + 0.3 * n.z()) + (1 - ambient_) * direct);
}

double Light::glare(const Eigen::Vector3d& x_m,
                    const Eigen::Vector3d& to_viewer) const {
  Eigen::Vector3d mirrored = to_viewer;  // by the table, n = z
  mirrored.x() = -mirrored.x();
  mirrored.y() = -mirrored.y();
  const double cosine = mirrored.dot(to_lamp(x_m));
  // A matt lacquer: a broad spot of some twelve degrees.
  const double spread = (1 - cosine) / 0.022;
  return brightness_ * glare_ * std::exp(-spread);
}

}  // namespace evenfeed
