// SPDX-License-Identifier: MIT
#include "report/ellipse.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

double chi2_two_quantile(double share) {
  require_probability(share, "share");
  return -2 * std::log1p(-share);
}

double prediction_factor(double share, int n) {
  require_probability(share, "share");
  require(n >= 4, "prediction_factor needs at least 4 observations");
  const double count = n;
  const double tail = std::expm1(-2 / (count - 2) * std::log1p(-share));
  return (count - 1) * (count + 1) / count * tail;
}

std::optional<Ellipse> covariance_ellipse(const Eigen::Vector2d& centre,
                                          const Eigen::Matrix2d& covariance,
                                          double k2) {
  if (!centre.allFinite() || !covariance.allFinite() || !(k2 > 0)) return {};
  const double a = covariance(0, 0);
  const double c = covariance(1, 1);
  const double b = (covariance(0, 1) + covariance(1, 0)) / 2;
  // Rounding may leave a flat covariance a little short of flat.
  const double slack = 1e-12 * (a + c) * (a + c);
  if (a < 0 || c < 0 || a * c - b * b < -slack) return {};
  const double middle = (a + c) / 2;
  const double reach = std::hypot((a - c) / 2, b);
  Ellipse ellipse;
  ellipse.centre = centre;
  ellipse.semi_major = std::sqrt(k2 * (middle + reach));
  ellipse.semi_minor = std::sqrt(k2 * std::max(0.0, middle - reach));
  ellipse.angle_rad = 0.5 * std::atan2(2 * b, a - c);
  return ellipse;
}

}  // namespace evenfeed
