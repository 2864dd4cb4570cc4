// SPDX-License-Identifier: MIT
#include "flight/common_errors.h"

#include <cmath>

#include <Eigen/Eigenvalues>

namespace evenfeed {

int flight_stage(double after_bounce_s) {
  constexpr double kStage_s = 0.1;
  return static_cast<int>(std::floor(after_bounce_s / kStage_s));
}

SharedInformation with_common_errors(const SessionCovariance& information,
                                     const SharedResponses& response,
                                     double common_error_px) {
  SessionCovariance total = information;
  for (const auto& [stage, g] : response) {
    total += common_error_px * common_error_px * g * g.transpose();
  }
  // What is known beforehand has no information and no response: left out.
  const Eigen::SelfAdjointEigenSolver<SessionCovariance> solver(total);
  const double least = 1e-12 * solver.eigenvalues().maxCoeff();
  const SessionVector inverse = solver.eigenvalues().unaryExpr(
      [&](double value) { return value > least ? 1 / value : 0; });
  SharedInformation shared;
  shared.weight = information * solver.eigenvectors() * inverse.asDiagonal() *
                  solver.eigenvectors().transpose();
  shared.data = shared.weight * information;
  return shared;
}

}  // namespace evenfeed
