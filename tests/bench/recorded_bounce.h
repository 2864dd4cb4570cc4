// SPDX-License-Identifier: MIT
// Where and when a recorded flight bounced, from its positions in space:
//
//   x(t) = b + v T + a T^2 / 2 + j T^3 / 6,  T = t - t_b, v and a one before,
//   one after
//
// over 0.15 s on both sides, by least squares with Cauchy weights. Each a is
// held to gravity and drag to 2 m/s^2, for lift and drag are not known, j is
// drag's, and the height of b is held to the ball's radius to 1 mm, the
// recording's own noise. Uses nothing of the fit under test.
#pragma once

#include "base/units.h"
#include "stats/cauchy_weight.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Cholesky>

namespace evenfeed {

struct RecordedBounce {
  double t_s = 0;
  Eigen::Vector2d x_m = Eigen::Vector2d::Zero();
};

namespace recorded_bounce {

enum { kT, kB, kV = kB + 3, kA = kV + 6, kUnknowns = kA + 6 };
using Unknowns = Eigen::Matrix<double, kUnknowns, 1>;
using Normal = Eigen::Matrix<double, kUnknowns, kUnknowns>;
inline constexpr double kNear_s = 0.15;
inline constexpr double kNoise_m = 1e-3;

// Drag of 0.13 v^2 / m, of a coefficient of 0.45.
inline constexpr double kDrag_per_m = 0.13;

inline Eigen::Vector3d expected_mps2(const Unknowns& p, int arc) {
  const Eigen::Vector3d v = p.segment<3>(kV + arc);
  return Eigen::Vector3d(0, 0, -kGravity_mps2) - kDrag_per_m * v.norm() * v;
}

inline Eigen::Vector3d jerk_mps3(const Unknowns& p, int arc) {
  const Eigen::Vector3d v = p.segment<3>(kV + arc);
  const Eigen::Vector3d a = p.segment<3>(kA + arc);
  const double speed = std::max(v.norm(), 1e-3);
  return -kDrag_per_m * (speed * a + v * (v.dot(a) / speed));
}

struct Equations {
  Normal normal = Normal::Zero();
  Unknowns right = Unknowns::Zero();

  void hold(int k, double off, double sd) {
    normal(k, k) += 1 / (sd * sd);
    right[k] += off / (sd * sd);
  }

  void add(const Unknowns& p, double t_s, const Eigen::Vector3d& x_m) {
    const double t = t_s - p[kT];
    if (std::abs(t) > kNear_s) return;
    const int arc = t < 0 ? 0 : 3;
    const Eigen::Vector3d v = p.segment<3>(kV + arc);
    const Eigen::Vector3d a = p.segment<3>(kA + arc);
    const Eigen::Vector3d miss =
        (x_m - p.segment<3>(kB) - v * t - a * (t * t / 2) -
         jerk_mps3(p, arc) * (t * t * t / 6)) /
        kNoise_m;
    Eigen::Matrix<double, 3, kUnknowns> rows;
    rows.setZero();
    rows.col(kT) = -v - a * t;
    rows.middleCols<3>(kB).setIdentity();
    rows.middleCols<3>(kV + arc) = t * Eigen::Matrix3d::Identity();
    rows.middleCols<3>(kA + arc) = t * t / 2 * Eigen::Matrix3d::Identity();
    rows /= kNoise_m;
    const double weight = cauchy_weight(miss.norm() / std::sqrt(3.0));
    normal += weight * rows.transpose() * rows;
    right += weight * rows.transpose() * miss;
  }
};

}  // namespace recorded_bounce

/// Nothing when it does not settle within 0.04 s of `t_b`.
inline std::optional<RecordedBounce> bounce_in_space(
    const std::vector<double>& t_s,
    const std::vector<Eigen::Vector3d>& x_m,
    double t_b,
    double r_m) {
  using namespace recorded_bounce;
  constexpr int kRounds = 30;
  constexpr double kMost_s = 0.04;
  Unknowns p = Unknowns::Zero();
  p[kT] = t_b;
  for (int round = 0; round < kRounds; ++round) {
    Equations equations;
    for (std::size_t i = 0; i < t_s.size(); ++i) {
      equations.add(p, t_s[i], x_m[i]);
    }
    // The time is held until there are velocities to find it with.
    equations.hold(kT, t_b - p[kT], round < 3 ? 1e-6 : kNear_s);
    equations.hold(kB + 2, r_m - p[kB + 2], 1e-3);
    for (const int arc : {0, 3}) {
      const Eigen::Vector3d off =
          expected_mps2(p, arc) - p.segment<3>(kA + arc);
      for (int k = 0; k < 3; ++k) equations.hold(kA + arc + k, off[k], 2);
    }
    const Unknowns scale =
        equations.normal.diagonal().cwiseSqrt().cwiseInverse();
    p += scale.asDiagonal() *
         (scale.asDiagonal() * equations.normal * scale.asDiagonal())
             .ldlt()
             .solve(scale.asDiagonal() * equations.right);
    if (!(std::abs(p[kT] - t_b) < kMost_s)) return std::nullopt;
  }
  return RecordedBounce{p[kT], p.segment<2>(kB)};
}

}  // namespace evenfeed
