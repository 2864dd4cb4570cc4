// SPDX-License-Identifier: MIT
#include "stats/grouped_precision.h"

#include "base/check.h"

#include <algorithm>
#include <utility>

namespace evenfeed {

using Index = Eigen::Index;

GroupedPrecision::GroupedPrecision(Eigen::VectorXd weights,
                                   std::vector<int> groups,
                                   double shared)
    : weights_(std::move(weights)),
      groups_(std::move(groups)),
      shared_(shared) {
  require(groups_.empty() || std::ssize(groups_) == weights_.size(),
          "weights and groups differ in number");
  require(shared >= 0, "a shared variance is below 0");
  if (groups_.empty()) return;
  const int most = *std::max_element(groups_.begin(), groups_.end());
  of_group_ = Eigen::VectorXd::Zero(most + 1);
  for (Index i = 0; i < weights_.size(); ++i)
    of_group_(group(i)) += weights_(i);
}

Eigen::MatrixXd GroupedPrecision::group_sums(const Eigen::MatrixXd& x) const {
  Eigen::MatrixXd sums = Eigen::MatrixXd::Zero(of_group_.size(), x.cols());
  for (Index i = 0; i < x.rows(); ++i) sums.row(group(i)) += x.row(i);
  return sums;
}

Eigen::MatrixXd GroupedPrecision::times(const Eigen::MatrixXd& x) const {
  Eigen::MatrixXd out = weights_.asDiagonal() * x;
  if (!grouped() || shared_ == 0) return out;
  const Eigen::MatrixXd sums = group_sums(out);
  for (Index i = 0; i < out.rows(); ++i) {
    out.row(i) -= pull(group(i)) * weights_(i) * sums.row(group(i));
  }
  return out;
}

double GroupedPrecision::log_determinant() const {
  double sum = -weights_.array().log().sum();
  if (grouped()) sum += (1 + shared_ * of_group_.array()).log().sum();
  return sum;
}

}  // namespace evenfeed
