// SPDX-License-Identifier: MIT
#include "flight/common_errors.h"

#include "stats/symmetric_eigen.h"

#include <cmath>

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
  const SymmetricEigen eigen = symmetric_eigen(total);
  const double least = 1e-12 * eigen.values.maxCoeff();
  const Eigen::Matrix<double, N, 1> inverse = eigen.values.unaryExpr(
      [&](double value) { return value > least ? 1 / value : 0; });
  AllowedInformation<N> allowed;
  const Square vectors = eigen.vectors;
  allowed.weight =
      information * vectors * inverse.asDiagonal() * vectors.transpose();
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
