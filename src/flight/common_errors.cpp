// SPDX-License-Identifier: MIT
#include "flight/common_errors.h"

#include <cmath>

#include <Eigen/Eigenvalues>

namespace evenfeed {

int flight_stage(double after_bounce_s) {
  constexpr double kStage_s = 0.1;
  return static_cast<int>(std::floor(after_bounce_s / kStage_s));
}

template <int N>
AllowedInformation<N> with_common_errors(
    const Eigen::Matrix<double, N, N>& information,
    const StageAnswers<N>& answers,
    double common_error_px) {
  using Square = Eigen::Matrix<double, N, N>;
  Square total = information;
  for (const auto& [stage, g] : answers) {
    total += common_error_px * common_error_px * g * g.transpose();
  }
  // What is known beforehand has no information and no response: left out.
  const Eigen::SelfAdjointEigenSolver<Square> solver(total);
  const double least = 1e-12 * solver.eigenvalues().maxCoeff();
  const Eigen::Matrix<double, N, 1> inverse = solver.eigenvalues().unaryExpr(
      [&](double value) { return value > least ? 1 / value : 0; });
  AllowedInformation<N> allowed;
  allowed.weight = information * solver.eigenvectors() * inverse.asDiagonal() *
                   solver.eigenvectors().transpose();
  allowed.data = allowed.weight * information;
  return allowed;
}

template AllowedInformation<kSessionParameters> with_common_errors(
    const Eigen::Matrix<double, kSessionParameters, kSessionParameters>&,
    const StageAnswers<kSessionParameters>&,
    double);
template AllowedInformation<kSessionParameters + 1> with_common_errors(
    const Eigen::
        Matrix<double, kSessionParameters + 1, kSessionParameters + 1>&,
    const StageAnswers<kSessionParameters + 1>&,
    double);

}  // namespace evenfeed
