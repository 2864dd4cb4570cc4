// SPDX-License-Identifier: MIT
#include "charts/t2.h"

#include "base/check.h"
#include "charts/heavy_tails.h"
#include "stats/covariance.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

double t2_limit_phase1(int p, int n, double false_alarm) {
  require(p >= 1 && n > p + 1, "phase I T2 needs n > p + 1 vectors");
  return (n - 1.0) * (n - 1.0) / n *
         beta_upper(false_alarm, p / 2.0, (n - p - 1) / 2.0);
}

double t2_limit_phase2(int p, int n, double false_alarm) {
  require(p >= 1 && n > p, "phase II T2 needs n > p vectors");
  return p * (n + 1.0) * (n - 1.0) / (static_cast<double>(n) * (n - p)) *
         f_upper(false_alarm, p, n - p);
}

double t2_tail_phase2(double value, int p, int n) {
  require(p >= 1 && n > p, "phase II T2 needs n > p vectors");
  return f_tail(value * n * (n - p) / (p * (n + 1.0) * (n - 1.0)), p, n - p);
}

double t2_limit_known(int p, double false_alarm) {
  return chi_squared_upper(false_alarm, p);
}

double t2_run_length(int p, double limit, double shift) {
  return 1 / noncentral_chi_squared_tail(limit, p, shift * shift);
}

double t2_score(double t2, int p, int n) {
  if (std::isnan(t2)) return std::numeric_limits<double>::quiet_NaN();
  if (std::isinf(t2)) return 3;
  return -normal_quantile(
      std::clamp(t2_tail_phase2(t2, p, n), 0.00135, 0.99865));
}

std::vector<int> finite_components(const Eigen::VectorXd& x) {
  std::vector<int> kept;
  for (int j = 0; j < x.size(); ++j) {
    if (std::isfinite(x(j))) kept.push_back(j);
  }
  return kept;
}

T2Chart::T2Chart(Eigen::VectorXd mean,
                 Eigen::MatrixXd covariance,
                 int n,
                 double false_alarm,
                 double tails)
    : mean_(std::move(mean)),
      covariance_(std::move(covariance)),
      n_(n),
      false_alarm_(false_alarm),
      tails_(tails) {
  require(
      mean_.size() == covariance_.rows() && mean_.size() == covariance_.cols(),
      "T2: mean and covariance differ in size");
  require(n > mean_.size(), "T2 needs more vectors than characteristics");
}

double T2Chart::distance2(const Eigen::VectorXd& x,
                          const std::vector<int>& use) const {
  if (use.empty()) return 0;
  return Mahalanobis(subvector(mean_, use), submatrix(covariance_, use))
      .squared(subvector(x, use));
}

double T2Chart::limit(int p, double false_alarm) const {
  return t2_limit_phase2(p, n_, false_alarm) *
         heavy_tail_factor(p, tails_, false_alarm);
}

T2Point T2Chart::add(const Eigen::VectorXd& x) const {
  T2Point point;
  const std::vector<int> known = finite_components(x);
  point.p = static_cast<int>(known.size());
  if (known.empty()) return point;
  point.value = distance2(x, known);
  point.limit = limit(point.p, false_alarm_);
  point.signal = point.value > point.limit;
  return point;
}

std::vector<T2Part> T2Chart::parts(const Eigen::VectorXd& x) const {
  const std::vector<int> known = finite_components(x);
  const double whole = distance2(x, known);
  std::vector<T2Part> parts;
  for (const int j : known) {
    std::vector<int> others = known;
    others.erase(std::find(others.begin(), others.end(), j));
    parts.push_back({j, distance2(x, {j}), whole - distance2(x, others)});
  }
  return parts;
}

}  // namespace evenfeed
