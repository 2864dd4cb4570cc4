// SPDX-License-Identifier: MIT
// The ellipse that holds a share of a bivariate normal.
//
//   { p : (p - c)^T S^-1 (p - c) <= k2 },  semi-axes sqrt(k2 * eigenvalue(S))
//   known mean and covariance:  k2 = chi2_2 quantile = -2 ln(1 - share)
//   estimated from n feeds:     k2 = 2 (n-1)(n+1) / (n (n-2)) F_{2,n-2}(share)
//                                  = (n-1)(n+1)/n ((1-share)^(-2/(n-2)) - 1)
//
// Source of the second: Hotelling's T2 for one further observation, e.g.
// NIST/SEMATECH e-Handbook 6.5.4.3; F with 2 degrees of freedom in the
// numerator has a closed form.
#pragma once

#include <optional>

#include <Eigen/Core>

namespace evenfeed {

struct Ellipse {
  Eigen::Vector2d centre = Eigen::Vector2d::Zero();
  double semi_major = 0;
  double semi_minor = 0;
  double angle_rad = 0;  ///< of the major axis from +x, in (-pi/2, pi/2]
};

/// -2 ln(1 - share); share in (0, 1).
double chi2_two_quantile(double share);

/// k2 for the next observation after n; needs n >= 4 (throws logic_error).
double prediction_factor(double share, int n);

/// nullopt when the covariance is not finite, has a negative variance or is
/// not positive semi-definite. A flat covariance gives semi_minor = 0.
std::optional<Ellipse> covariance_ellipse(const Eigen::Vector2d& centre,
                                          const Eigen::Matrix2d& covariance,
                                          double k2);

}  // namespace evenfeed
