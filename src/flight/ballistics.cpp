// SPDX-License-Identifier: MIT
#include "flight/ballistics.h"

namespace evenfeed {
namespace {

using Slopes = Eigen::Matrix<double, 3, 6>;

Eigen::Matrix3d cross_matrix(const Eigen::Vector3d& v) {
  Eigen::Matrix3d m;
  m << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
  return m;
}

// acceleration_mps2() and what it depends on.
struct Push {
  Eigen::Vector3d a;
  Eigen::Matrix3d by_v;
  Eigen::Matrix3d by_force;  // drag, lift, side lift
};

Push push_at(const Eigen::Vector3d& v, const AirForces<double>& air) {
  const double flat = std::sqrt(v.x() * v.x() + v.y() * v.y() + 1e-12);
  const double speed = std::sqrt(v.squaredNorm() + 1e-12);
  const Eigen::Vector3d side(-v.y() / flat, v.x() / flat, 0);
  const Eigen::Vector3d up = v.cross(side);
  const Eigen::RowVector3d speed_by_v = v.transpose() / speed;
  const Eigen::RowVector3d flat_by_v(v.x() / flat, v.y() / flat, 0);
  Eigen::Matrix3d side_by_v = -side * flat_by_v / flat;
  side_by_v(0, 1) -= 1 / flat;
  side_by_v(1, 0) += 1 / flat;
  const Eigen::Matrix3d up_by_v =
      cross_matrix(v) * side_by_v - cross_matrix(side);
  Push push;
  push.by_force << -speed * v, speed * up, speed * speed * side;
  push.a = push.by_force.col(0) * air.drag_per_m +
           push.by_force.col(1) * air.lift_per_m +
           push.by_force.col(2) * air.side_per_m;
  push.a.z() -= kGravity_mps2;
  push.by_v = (air.lift_per_m * up - air.drag_per_m * v +
               2 * air.side_per_m * speed * side) *
                  speed_by_v +
              speed * (air.lift_per_m * up_by_v -
                       air.drag_per_m * Eigen::Matrix3d::Identity() +
                       air.side_per_m * speed * side_by_v);
  return push;
}

Slopes slopes_of(const Push& push, const Slopes& v_slopes) {
  Slopes a_slopes = push.by_v * v_slopes;
  a_slopes.rightCols<3>() += push.by_force;
  return a_slopes;
}

}  // namespace

FlownState fly_with_slopes(const BallState<double>& start,
                           double dt_s,
                           const AirForces<double>& air) {
  FlownState s;
  s.end = start;
  s.x_slopes.setZero();
  s.v_slopes.setZero();
  s.v_slopes.leftCols<3>().setIdentity();
  const int steps = flight_steps(dt_s);
  const double step = dt_s / steps;
  const double half = step / 2;
  const double sixth = step / 6;
  for (int i = 0; i < steps; ++i) {
    const Eigen::Vector3d v1 = s.end.v_mps;
    const Slopes d1 = s.v_slopes;
    const Push p1 = push_at(v1, air);
    const Slopes a1 = slopes_of(p1, d1);
    const Eigen::Vector3d v2 = v1 + half * p1.a;
    const Slopes d2 = d1 + half * a1;
    const Push p2 = push_at(v2, air);
    const Slopes a2 = slopes_of(p2, d2);
    const Eigen::Vector3d v3 = v1 + half * p2.a;
    const Slopes d3 = d1 + half * a2;
    const Push p3 = push_at(v3, air);
    const Slopes a3 = slopes_of(p3, d3);
    const Eigen::Vector3d v4 = v1 + step * p3.a;
    const Slopes d4 = d1 + step * a3;
    const Push p4 = push_at(v4, air);
    const Slopes a4 = slopes_of(p4, d4);
    s.end.x_m += sixth * (v1 + 2 * v2 + 2 * v3 + v4);
    s.end.v_mps += sixth * (p1.a + 2 * p2.a + 2 * p3.a + p4.a);
    s.x_slopes += sixth * (d1 + 2 * d2 + 2 * d3 + d4);
    s.v_slopes += sixth * (a1 + 2 * a2 + 2 * a3 + a4);
  }
  s.acceleration_mps2 = acceleration_mps2<double>(s.end.v_mps, air);
  return s;
}

}  // namespace evenfeed
