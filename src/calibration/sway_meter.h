// SPDX-License-Identifier: MIT
// How far the picture strays from where the camera is taken to stand, look by
// look: at the looks, and half way between two of them, where one stance ends
// and the next begins. A stray look (a knock on its way, a hand) does not
// count.
#pragma once

#include "geometry/camera_sway.h"

#include <optional>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

class SwayMeter {
 public:
  /// One look: where the picture lay, and where it would for the stance that
  /// holds then; mean over the same places, px. `noise_px` is the look's own.
  void add(double t_s,
           const Eigen::Vector2d& seen_px,
           const Eigen::Vector2d& held_px,
           double noise_px);
  /// A look that found no camera.
  void miss() { last_.reset(); }

  /// None when it is no more than looks scatter, or there are too few of them.
  [[nodiscard]] CameraSway sway() const;

 private:
  struct Look {
    double t_s;
    Eigen::Vector2d seen_px, held_px;
  };

  std::optional<Look> last_;
  std::vector<double> strays_px2_;     // both axes together
  std::vector<double> drifts_px2_s2_;  // from look to look
  std::vector<double> noises_px2_;
};

}  // namespace evenfeed
