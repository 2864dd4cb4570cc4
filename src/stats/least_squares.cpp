// SPDX-License-Identifier: MIT
#include "stats/least_squares.h"

#include "stats/pivoted_qr.h"

#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {

LinearModel fit_linear_model(const Eigen::MatrixXd& x,
                             const Eigen::VectorXd& y,
                             ResidualSpread spread) {
  LinearModel model;
  const Eigen::Index n = x.rows();
  const Eigen::Index p = x.cols();
  if (y.size() != n || n <= p || p < 1 || !x.allFinite() || !y.allFinite()) {
    return model;
  }
  // Columns of one length, so that the rank does not depend on units.
  const Eigen::VectorXd length = x.colwise().norm();
  if ((length.array() == 0).any()) return model;
  const Eigen::MatrixXd scaled = x * length.cwiseInverse().asDiagonal();
  const auto [rank, b] = solve_pivoted(scaled, y, 1e-9);
  if (rank < p) return model;
  const Eigen::MatrixXd inverse = (scaled.transpose() * scaled)
                                      .ldlt()
                                      .solve(Eigen::MatrixXd::Identity(p, p));
  const Eigen::VectorXd residual = y - scaled * b;
  model.degrees = static_cast<double>(n - p);
  model.residual_sd = std::sqrt(residual.squaredNorm() / model.degrees);
  Eigen::MatrixXd covariance = model.residual_sd * model.residual_sd * inverse;
  if (spread == ResidualSpread::kDiffers) {
    const Eigen::ArrayXd leverage =
        (scaled * inverse).cwiseProduct(scaled).rowwise().sum().array();
    // A row that alone decides a coefficient has leverage 1 and residual 0.
    const Eigen::ArrayXd free = (1 - leverage).max(1e-6);
    const Eigen::VectorXd weight = (residual.array() / free).square().matrix();
    covariance =
        inverse * scaled.transpose() * weight.asDiagonal() * scaled * inverse;
  }
  const auto unscale = length.cwiseInverse().asDiagonal();
  model.coefficients = unscale * b;
  model.covariance = unscale * covariance * unscale;
  model.ok = model.coefficients.allFinite() && model.covariance.allFinite();
  return model;
}

}  // namespace evenfeed
