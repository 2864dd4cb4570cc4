// SPDX-License-Identifier: MIT
// The normal equations of a session: a block for each feed's own unknowns,
// bordered by the session's. Solved for the blocks (Schur complement) they
// leave the reduced system of the session's unknowns alone (Triggs et al. 2000,
// "Bundle adjustment: a modern synthesis", section 6).
#pragma once

#include "flight/common_errors.h"
#include "flight/film_clock.h"
#include "flight/session_terms.h"

#include <vector>

#include <Eigen/Cholesky>

namespace evenfeed {

/// One feed's part at the current point; p its own unknowns, s the session's.
struct FeedEquations {
  static constexpr int kF = kFlightParameters;
  static constexpr int kS = kSessionParameters;
  using Block = Eigen::Matrix<double, kF, kF>;
  using Priors = Eigen::Matrix<double, kSharedPriors, 1>;

  Block a;                          ///< J_p^T J_p
  Eigen::Matrix<double, kF, kS> b;  ///< J_p^T J_s
  FlightVector g;                   ///< J_p^T r
  SessionVector gs;                 ///< J_s^T r
  SessionCovariance c;              ///< J_s^T J_s
  Eigen::LDLT<Block> solver;        ///< of the scaled a
  FlightVector scale;
  ErrorResponses errors;
  double own_freedom = 0;  ///< of its unknowns, used up by the sightings
  Priors prior_residual;
  Priors prior_residual_var;  ///< posterior

  template <typename Matrix>
  Eigen::Matrix<double, kF, Matrix::ColsAtCompileTime> solve(
      const Matrix& rhs) const {
    return scale.asDiagonal() * solver.solve(scale.asDiagonal() * rhs);
  }
};

/// How one feed's residuals answer to the film's clock, against the unknowns.
struct ClockColumn {
  FlightVector own;
  SessionVector shared;
  double square = 0;
  double pull = 0;
  StageAnswers<1> errors;
};

/// information ds = pull.
struct ReducedSystem {
  SessionCovariance information = SessionCovariance::Zero();
  SessionVector pull = SessionVector::Zero();
  SharedResponses errors;
};

[[nodiscard]] ReducedSystem reduced_system(
    const std::vector<FeedEquations>& feeds);

/// `reduced`, which is of `feeds`, with the film's clock beside the session's
/// unknowns; a column for each feed.
[[nodiscard]] ClockEquations with_clock(
    const ReducedSystem& reduced,
    const std::vector<FeedEquations>& feeds,
    const std::vector<ClockColumn>& columns);

}  // namespace evenfeed
