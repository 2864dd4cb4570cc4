// SPDX-License-Identifier: MIT
#include "charts/mewma.h"

#include "base/check.h"
#include "charts/t2.h"
#include "stats/autocorrelation.h"
#include "stats/covariance.h"

#include <cmath>

namespace evenfeed {

void MewmaDesign::check() const {
  require_in_range(lambda, 1e-6, 1, "mewma lambda");
  require_positive(limit, "mewma limit");
  require_in_range(autocorrelation, -0.99, 0.99, "mewma autocorrelation");
}

MewmaChart::MewmaChart(Eigen::VectorXd mean,
                       const Eigen::MatrixXd& covariance,
                       const MewmaDesign& design)
    : mean_(std::move(mean)),
      covariance_(covariance),
      design_(design),
      z_(Eigen::VectorXd::Zero(mean_.size())) {
  design_.check();
}

MewmaPoint MewmaChart::add(const Eigen::VectorXd& x) {
  if (finite_components(x).empty()) {
    MewmaPoint held = last_;
    held.signal = false;
    return held;
  }
  const double lambda = design_.lambda;
  const double keep = 1 - lambda;
  z_ = lambda * (fill_expected(x, mean_, covariance_) - mean_) + keep * z_;
  decay_ *= keep * keep;
  const double memory = design_.autocorrelation * keep;
  const double growth = design_.growing_limits ? 1 - decay_ : 1;
  const double variance =
      lambda / (2 - lambda) * growth * variance_inflation(memory);
  const Mahalanobis metric(Eigen::VectorXd::Zero(z_.size()), covariance_);
  last_.value = metric.squared(z_) / variance;
  last_.limit = design_.limit;
  last_.signal = last_.value > design_.limit;
  return last_;
}

Eigen::VectorXd fill_expected(const Eigen::VectorXd& x,
                              const Eigen::VectorXd& mean,
                              const Eigen::MatrixXd& covariance) {
  const std::vector<int> known = finite_components(x);
  if (static_cast<Eigen::Index>(known.size()) == x.size()) return x;
  Eigen::VectorXd filled = mean;
  if (known.empty()) return filled;
  const Eigen::VectorXd weights =
      submatrix(covariance, known)
          .ldlt()
          .solve(subvector(x, known) - subvector(mean, known));
  for (int j = 0; j < x.size(); ++j) {
    for (std::size_t k = 0; k < known.size(); ++k) {
      filled(j) += covariance(j, known[k]) * weights(static_cast<int>(k));
    }
  }
  for (const int j : known) filled(j) = x(j);
  return filled;
}

}  // namespace evenfeed
