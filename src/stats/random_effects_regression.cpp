// SPDX-License-Identifier: MIT
#include "stats/random_effects_regression.h"

#include "base/check.h"
#include "stats/distributions.h"
#include "stats/least_value.h"
#include "stats/pivoted_qr.h"

#include <cmath>

#include <Eigen/Cholesky>

namespace evenfeed {
namespace {

// The weighted least squares solution for one value of `between`.
struct WeightedFit {
  Eigen::VectorXd beta;
  Eigen::LLT<Eigen::MatrixXd> factor;  ///< of X'WX
  double squares = 0;                  ///< r'Wr
  double log_variances = 0;            ///< sum log(between + v_i)
};

WeightedFit weighted_fit(const Eigen::VectorXd& y,
                         const Eigen::VectorXd& v,
                         const Eigen::MatrixXd& x,
                         double between) {
  WeightedFit at;
  const Eigen::ArrayXd total = v.array() + between;
  const Eigen::VectorXd w = total.inverse().matrix();
  const Eigen::MatrixXd wx = w.asDiagonal() * x;
  at.factor.compute(x.transpose() * wx);
  at.beta = at.factor.solve(wx.transpose() * y);
  const Eigen::VectorXd rest = y - x * at.beta;
  at.squares = rest.dot(w.asDiagonal() * rest);
  at.log_variances = total.log().sum();
  return at;
}

double log_determinant(const Eigen::LLT<Eigen::MatrixXd>& factor) {
  const Eigen::MatrixXd l = factor.matrixL();
  return 2 * l.diagonal().array().log().sum();
}

std::string refusal(const Eigen::VectorXd& y,
                    const Eigen::VectorXd& v,
                    const Eigen::MatrixXd& x) {
  if (y.size() <= x.cols()) return "not more groups than unknowns";
  if (!y.allFinite() || !v.allFinite() || !x.allFinite()) {
    return "a value is not finite";
  }
  if (v.minCoeff() < 0) return "a variance is below 0";
  if (rank_of(x) < x.cols()) {
    return "the columns of the model depend on each other";
  }
  return {};
}

}  // namespace

double RandomEffectsFit::standard_error(Eigen::Index j) const {
  return std::sqrt(covariance(j, j));
}

double RandomEffectsFit::degrees_of(Eigen::Index j) const {
  return own_degrees.empty() ? degrees
                             : own_degrees[static_cast<std::size_t>(j)];
}

double RandomEffectsFit::probability(Eigen::Index j) const {
  const double t = std::abs(coefficients(j)) / standard_error(j);
  return 2 * student_t_cdf(-t, degrees_of(j));
}

RandomEffectsFit random_effects_regression(const Eigen::VectorXd& means,
                                           const Eigen::VectorXd& variances,
                                           const Eigen::MatrixXd& x) {
  require(means.size() == variances.size() && means.size() == x.rows(),
          "means, variances and rows of the model differ in number");
  RandomEffectsFit fit;
  fit.message = refusal(means, variances, x);
  if (!fit.message.empty()) return fit;
  const double degrees = static_cast<double>(means.size() - x.cols());
  // The scatter about the plain least squares solution is the scale of the
  // search; it also keeps the total variance above 0 where all v_i are 0.
  const Eigen::VectorXd plain = means - x * solve_pivoted(x, means).x;
  const double scale = plain.squaredNorm() / degrees;
  const double rounding = 1e-24 * means.squaredNorm();
  if (!(scale > rounding)) {
    fit.message = "everything lies exactly on the model";
    return fit;
  }
  const Eigen::VectorXd v = variances.array().max(1e-9 * scale).matrix();
  const LeastValue best = least_value_above_zero(
      [&](double between) {
        const WeightedFit at = weighted_fit(means, v, x, between);
        return at.log_variances + log_determinant(at.factor) + at.squares;
      },
      scale);
  const WeightedFit at = weighted_fit(means, v, x, best.at);
  fit.between_variance = best.at;
  fit.coefficients = at.beta;
  fit.degrees = static_cast<int>(degrees);
  fit.q = at.squares / degrees;
  fit.covariance =
      fit.q * at.factor.solve(Eigen::MatrixXd::Identity(x.cols(), x.cols()));
  fit.deviance = at.log_variances + at.squares;
  fit.ok = true;
  return fit;
}

}  // namespace evenfeed
