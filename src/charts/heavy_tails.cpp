// SPDX-License-Identifier: MIT
#include "charts/heavy_tails.h"

#include "base/check.h"
#include "stats/covariance.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

double heavy_tail_factor(int p, double degrees, double tail) {
  require(p >= 1 && degrees > 2, "tails need a variance");
  if (std::isinf(degrees)) return 1;
  return (degrees - 2) / degrees * p * f_upper(tail, p, degrees) /
         chi_squared_upper(tail, p);
}

double degrees_from_kurtosis(const Eigen::MatrixXd& rows,
                             double believed,
                             double weight) {
  const auto n = static_cast<double>(rows.rows());
  const auto p = static_cast<double>(rows.cols());
  if (std::isinf(believed) || n < p + 2) return believed;
  const MeanCovariance fit = mean_covariance(rows);
  const Mahalanobis metric(fit.mean, fit.covariance * (n - 1) / n);
  if (!metric.regular()) return believed;
  double fourth = 0;
  for (Eigen::Index i = 0; i < rows.rows(); ++i) {
    fourth += std::pow(metric.squared(rows.row(i).transpose()), 2);
  }
  // Of n normal rows the mean is p (p + 2) (n - 1) / (n + 1).
  const double own = fourth / n / (p * (p + 2)) * (n + 1) / (n - 1);
  const double ratio =
      (n * own + weight * (believed - 2) / (believed - 4)) / (n + weight);
  constexpr double kNearlyNormal = 1.02;  // 100 degrees of freedom
  return (4 * std::max(ratio, kNearlyNormal) - 2) /
         (std::max(ratio, kNearlyNormal) - 1);
}

}  // namespace evenfeed
