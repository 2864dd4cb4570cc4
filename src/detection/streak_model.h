// SPDX-License-Identifier: MIT
// The picture of a swept disc and its derivatives (equation in streak_fit.h).
#pragma once

#include "detection/streak_fit.h"

#include <Eigen/Core>

namespace evenfeed {

/// Order of the parameters: centre u v, half streak u v, radius, ambient,
/// lamp u v w, edge.
inline constexpr int kStreakParameters = 10;
using StreakVector = Eigen::Matrix<double, kStreakParameters, 1>;
/// Places in a StreakVector.
enum StreakParameter {
  kStreakCentre = 0,  ///< 2 values
  kStreakHalf = 2,    ///< 2 values
  kStreakRadius = 4,
  kStreakAmbient = 5,  ///< with the lamp the 4 parts of the shading
  kStreakLamp = 6,     ///< 3 values
  kStreakEdge = 9,
};
using StreakJacobian = Eigen::Matrix<float, Eigen::Dynamic, kStreakParameters>;

StreakVector as_vector(const Streak& streak);
Streak as_streak(const StreakVector& vector, const Eigen::Matrix2d& outline);
/// How much longer than the radius the outline is at its longest.
double stretch(const Eigen::Matrix2d& outline);
/// How many positions stand for a sweep of this length.
int sweep_steps(const Streak& streak);

struct StreakPicture {
  Eigen::VectorXf value;    ///< predicted brightness, row by row
  Eigen::VectorXf cover;    ///< part of the exposure the ball covers the pixel
  StreakJacobian jacobian;  ///< d value / d parameter
  long first = 0, count = 0;  ///< the ball covers none outside these pixels

  /// `steps` positions stand for the sweep; at least 2.
  void render(const StreakPatch& patch, const Streak& streak, int steps);
};

}  // namespace evenfeed
