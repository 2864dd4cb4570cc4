// SPDX-License-Identifier: MIT
#include "flight/trial_arc.h"

#include "flight/ballistics.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {
namespace {

// Of an acceleration: 0.3 of lift coefficient at 20 m/s.
constexpr double kMostExtra_mps2 = 30;
constexpr double kMostFaster = 3;  // than at the bounce
constexpr double kStep_s = 0.025;
// v / (1 + k v t) has no past beyond t = -1 / (k v).
constexpr double kMostSlowed = -0.6;

Eigen::Vector3d capped(const Eigen::Vector3d& v, double most) {
  const double norm = v.norm();
  return norm > most ? Eigen::Vector3d(v * (most / norm)) : v;
}

}  // namespace

TrialArc::TrialArc(const Eigen::Vector3d& v_mps,
                   const Eigen::Vector3d& extra_mps2,
                   double drag_per_m,
                   double fastest_mps)
    : v_bounce_mps_(capped(v_mps, fastest_mps)),
      extra_mps2_(capped(extra_mps2, kMostExtra_mps2)),
      drag_per_m_(drag_per_m),
      fastest_mps_(fastest_mps),
      speed_mps_(v_bounce_mps_.norm()),
      v_mps_(v_bounce_mps_),
      a_mps2_(acceleration_mps2(v_mps_)) {}

Eigen::Vector3d TrialArc::acceleration_mps2(
    const Eigen::Vector3d& v_mps) const {
  constexpr double kSlow_mps = 0.5;
  const double speed = v_mps.norm();
  const double share =
      std::min(kMostFaster, speed / std::max(speed_mps_, kSlow_mps));
  return Eigen::Vector3d(0, 0, -kGravity_mps2) - drag_per_m_ * speed * v_mps +
         share * share * extra_mps2_;
}

Passing TrialArc::fly_to(double t_s) {
  const double span_s = t_s - t_s_;
  const int steps =
      std::max(1, static_cast<int>(std::ceil(std::abs(span_s) / kStep_s)));
  const double step = span_s / steps;
  for (int i = 0; i < steps; ++i) {
    const Eigen::Vector3d v = v_mps_;
    const Eigen::Vector3d a = a_mps2_;
    v_mps_ = capped(v + step * acceleration_mps2(v + step / 2 * a),
                    kMostFaster * fastest_mps_);
    a_mps2_ = acceleration_mps2(v_mps_);
    // Exact for an acceleration that changes evenly.
    x_m_ += step / 2 * (v + v_mps_) - step * step / 12 * (a_mps2_ - a);
  }
  t_s_ = t_s;
  const double slowed = std::max(drag_per_m_ * speed_mps_ * t_s, kMostSlowed);
  const bool straight = std::abs(slowed) < 1e-3;
  const double log = std::log1p(slowed);
  const double across = straight ? t_s : t_s * log / slowed;
  const double along = t_s / (1 + slowed);
  Passing passing;
  passing.by_velocity = across * Eigen::Matrix3d::Identity();
  if (speed_mps_ > 0) {
    const Eigen::Vector3d way = v_bounce_mps_ / speed_mps_;
    passing.by_velocity += (along - across) * way * way.transpose();
  }
  passing.by_extra =
      t_s * t_s * (straight ? 0.5 : (slowed - log) / (slowed * slowed));
  passing.rest = x_m_ - passing.by_velocity * v_bounce_mps_ -
                 passing.by_extra * extra_mps2_;
  return passing;
}

}  // namespace evenfeed
