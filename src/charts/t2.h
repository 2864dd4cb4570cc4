// SPDX-License-Identifier: MIT
// Hotelling's T2 for individual vectors of p characteristics:
// T2 = (x - m)' S^-1 (x - m), with mean and covariance from n vectors.
//
// Limits (Tracy, Young and Mason 1992, JQT 24:88; NIST/SEMATECH e-Handbook
// 6.5.4.3): phase I, x among the n:  (n-1)^2/n Beta(p/2, (n-p-1)/2);
// phase II, x not among them:  p(n+1)(n-1)/(n(n-p)) F(p, n-p).
#pragma once

#include <limits>
#include <vector>

#include <Eigen/Core>

namespace evenfeed {

/// Exceeded by an in-control vector with probability `false_alarm`.
/// Need n > p + 1 and n > p.
double t2_limit_phase1(int p, int n, double false_alarm);
double t2_limit_phase2(int p, int n, double false_alarm);
/// How rare T2 above `value` is in phase II, mean and covariance estimated.
double t2_tail_phase2(double value, int p, int n);
double t2_limit_known(int p, double false_alarm);
/// Run length with known parameters for a shift of Mahalanobis length
/// `shift`: 1 / P(noncentral chi2_p(shift^2) > limit).
double t2_run_length(int p, double limit, double shift);

/// T2 of phase II, p characteristics and a baseline of n vectors, as a
/// standard normal score (large T2, large score), cut off at +-3. NaN for NaN.
double t2_score(double t2, int p, int n);

struct T2Point {
  int p = 0;  ///< characteristics that were known
  double value = std::numeric_limits<double>::quiet_NaN();
  double limit = std::numeric_limits<double>::quiet_NaN();
  bool signal = false;
};

/// One characteristic's share of a T2 (Mason, Young and Tracy 1995, JQT
/// 27:99): alone, (x_j - m_j)^2 / s_jj; given the others, T2 less the T2 of
/// the others.
struct T2Part {
  int index = 0;
  double alone = 0;
  double given_others = 0;
};

class T2Chart {
 public:
  /// Phase II against a mean and a regular covariance from n vectors, n > p.
  /// Limits allow for the tails of t with `tails` degrees of freedom
  /// (charts/heavy_tails.h).
  T2Chart(Eigen::VectorXd mean,
          Eigen::MatrixXd covariance,
          int n,
          double false_alarm,
          double tails = std::numeric_limits<double>::infinity());
  /// Components that are not finite are left out: the statistic and the limit
  /// are those of the others. With none left the point holds NaN.
  T2Point add(const Eigen::VectorXd& x) const;
  /// The limit for another false-alarm probability with `p` known.
  double limit(int p, double false_alarm) const;
  /// Per known component of x.
  std::vector<T2Part> parts(const Eigen::VectorXd& x) const;

 private:
  double distance2(const Eigen::VectorXd& x, const std::vector<int>& use) const;
  Eigen::VectorXd mean_;
  Eigen::MatrixXd covariance_;
  int n_;
  double false_alarm_;
  double tails_;
};

/// Indices of the finite components.
std::vector<int> finite_components(const Eigen::VectorXd& x);

}  // namespace evenfeed
