// SPDX-License-Identifier: MIT
// What a sudden change at each session boundary would do to a fitted model.
//
// With r the residuals of a weighted fit of columns B, N = B'WB, s the column
// of a step and c = B'Ws, adding s gives
//   left = s'Ws - c'N^-1 c      what the model cannot do of the step
//   step = s'Wr / left,  gain = (s'Wr)^2 / left  (weighted squares less)
//   b_j  = b_j - (N^-1 c)_j step,  its variance / scale: N^-1_jj + (N^-1 c)_j^2
//          / left
// and s'Ws, s'Wr and c are sums over the sessions of a level from the boundary
// on: one pass finds them for all boundaries. Where sessions share a set-up W
// is no diagonal (stats/grouped_precision.h); s'Ws is then
//   sum w - sum over set-ups of pull (sum w of its sessions from there on)^2.
#pragma once

#include "stats/interval.h"

#include <limits>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// A weighted fit that a step is tried beside.
struct FittedColumns {
  Eigen::MatrixXd columns;
  Eigen::VectorXd weights;
  Eigen::VectorXd values;
  Eigen::VectorXd coefficients;
  std::vector<int> levels;     ///< of each session
  std::vector<int> setups;     ///< each within one level; empty: none is shared
  double shared_variance = 0;  ///< of a set-up
  /// Of the last coefficient; NaN: as many as sessions beyond the unknowns.
  double degrees = std::numeric_limits<double>::quiet_NaN();
};

struct StepCandidate {
  Eigen::Index at = 0;       ///< first session after it
  double gain = 0;           ///< 0: the model can do the step already
  double coefficient = 0;    ///< of the last column, with the step
  double unit_variance = 0;  ///< of that
};

/// Boundaries inside a level with two sessions of it on either side: a single
/// session that stands out, the newest most of all, is no lasting change yet.
std::vector<Eigen::Index> step_boundaries(const std::vector<int>& levels);

/// One candidate per boundary, in order.
std::vector<StepCandidate> scan_steps(const FittedColumns& fit);

/// The interval of the last coefficient when there was one step, nobody knows
/// where: the average of Student's t over the places, each as likely as it
/// makes the data, (squares left)^(-degrees / 2), and all alike beforehand
/// (Hoeting et al. 1999, Statistical Science 14:382). NaN when there is no
/// place for one, or fewer than three degrees of freedom beside it.
Interval interval_with_step(const FittedColumns& fit, double confidence);

}  // namespace evenfeed
