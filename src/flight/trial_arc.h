// SPDX-License-Identifier: MIT
// One arc of a flight, flown outwards from its bounce on a trial velocity, and
// how a change of the trial moves it: drag alone makes a speed v into
// v / (1 + k v t), which is near enough to search by.
#pragma once

#include <Eigen/Core>

namespace evenfeed {

/// Where an arc passes, from its bounce: rest + by_velocity v + by_extra a, for
/// a velocity and an acceleration at the bounce near those of the trial.
struct Passing {
  Eigen::Matrix3d by_velocity = Eigen::Matrix3d::Zero();  ///< s
  double by_extra = 0;                                    ///< s^2
  Eigen::Vector3d rest = Eigen::Vector3d::Zero();         ///< m

  Eigen::Vector3d of(const Eigen::Vector3d& v_mps,
                     const Eigen::Vector3d& extra_mps2) const {
    return rest + by_velocity * v_mps + by_extra * extra_mps2;
  }
};

/// Gravity, drag, and an extra acceleration (lift, and drag beyond
/// `drag_per_m`) that goes with the square of the speed.
class TrialArc {
 public:
  /// At the bounce. What is faster than `fastest_mps` is slowed to it: a wild
  /// trial must not blow up the next one.
  TrialArc(const Eigen::Vector3d& v_mps,
           const Eigen::Vector3d& extra_mps2,
           double drag_per_m,
           double fastest_mps);

  /// On to `t_s` after the bounce (before it: negative); each call farther from
  /// it than the last.
  Passing fly_to(double t_s);

 private:
  Eigen::Vector3d acceleration_mps2(const Eigen::Vector3d& v_mps) const;

  Eigen::Vector3d v_bounce_mps_;
  Eigen::Vector3d extra_mps2_;
  double drag_per_m_;
  double fastest_mps_;
  double speed_mps_;  // at the bounce
  double t_s_ = 0;
  Eigen::Vector3d x_m_ = Eigen::Vector3d::Zero();
  Eigen::Vector3d v_mps_;
  Eigen::Vector3d a_mps2_;
};

}  // namespace evenfeed
