// SPDX-License-Identifier: MIT
// What the light on the balls of one film has in common. The lamps stand still,
// so the share of light from everywhere, the lamp's direction and the softness
// of edges are nearly the same for every sighting; knowing them, a fit need not
// guess whether a dark side is shade or the ball's end.
#pragma once

#include <cmath>

#include <Eigen/Core>

namespace evenfeed {

/// What a fit expects of shade and edge before it looks.
struct ShadePrior {
  /// Ambient, then lamp right, down and towards the camera, as seen along the
  /// line of sight; parts of the ball's mean brightness.
  Eigen::Vector4d parts{0.5, 0, 0, 0.6};
  double parts_sd = 0.35;  ///< of each
  double scale_sd = 0.3;   ///< of all together, as a factor
  double edge_px = 1.5;
  double edge_sd_px = 0.3;
};

class ShadeMemory {
 public:
  /// `ray_in_camera`: unit line of sight to the ball.
  ShadePrior at(const Eigen::Vector3d& ray_in_camera) const;
  /// Takes in a well seen ball.
  void take(const Eigen::Vector4d& parts,
            double edge_px,
            const Eigen::Vector3d& ray_in_camera);

 private:
  ShadePrior first_;
  Eigen::Vector4d mean_ = first_.parts;  // lamp in the camera frame
  double edge_px_ = first_.edge_px;
  double count_ = 0;
};

/// How bright the balls of one film are, in the unit of its fits.
class BrightnessMemory {
 public:
  bool known() const { return count_ >= 10; }
  double mean() const { return mean_; }
  double sd() const { return std::sqrt(square_); }
  /// Takes in a well seen ball.
  void take(double brightness) {
    constexpr double kMostCount = 300;
    count_ = count_ < kMostCount ? count_ + 1 : kMostCount;
    const double off = brightness - mean_;
    mean_ += off / count_;
    square_ += (off * (brightness - mean_) - square_) / count_;
  }

 private:
  double mean_ = 0;
  double square_ = 0;
  double count_ = 0;
};

}  // namespace evenfeed
