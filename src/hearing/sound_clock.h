// SPDX-License-Identifier: MIT
// The sound's clock beside the picture's. A sound made at picture time t is
// heard, `travel` later, at
//
//   heard = t + travel + offset + drift (t - middle)
#pragma once

#include <cmath>

#include <Eigen/Core>

namespace evenfeed {

struct SoundClock {
  double middle_s = 0;
  double offset_s = 0;  ///< sound late: positive; at the middle
  double drift = 0;     ///< per second
  /// Of offset and drift.
  Eigen::Matrix2d covariance = Eigen::Matrix2d::Zero();

  double heard_s(double t_s, double travel_s) const {
    return t_s + travel_s + offset_s + drift * (t_s - middle_s);
  }
  double picture_s(double heard_s, double travel_s) const {
    return middle_s + (heard_s - travel_s - offset_s - middle_s) / (1 + drift);
  }
  /// How uncertain the sound's clock is at t_s; common to all that is heard.
  double sigma_s(double t_s) const {
    const Eigen::Vector2d slope(1, t_s - middle_s);
    return std::sqrt(slope.dot(covariance * slope));
  }
};

}  // namespace evenfeed
