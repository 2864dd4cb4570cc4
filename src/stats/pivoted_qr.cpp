// SPDX-License-Identifier: MIT
#include "stats/pivoted_qr.h"

#include <Eigen/QR>

namespace evenfeed {
namespace {

using PivotedQr = Eigen::ColPivHouseholderQR<Eigen::MatrixXd>;

PivotedQr factorised(const Eigen::MatrixXd& a,
                     std::optional<double> threshold) {
  PivotedQr factor(a);
  if (threshold) factor.setThreshold(*threshold);
  return factor;
}

}  // namespace

PivotedSolution solve_pivoted(const Eigen::MatrixXd& a,
                              const Eigen::VectorXd& b,
                              std::optional<double> threshold) {
  const PivotedQr factor = factorised(a, threshold);
  return {factor.rank(), factor.solve(b)};
}

Eigen::MatrixXd solve_pivoted_columns(const Eigen::MatrixXd& a,
                                      const Eigen::MatrixXd& b) {
  return factorised(a, {}).solve(b);
}

Eigen::Index rank_of(const Eigen::MatrixXd& a,
                     std::optional<double> threshold) {
  return factorised(a, threshold).rank();
}

}  // namespace evenfeed
