// SPDX-License-Identifier: MIT
// The inverse of a covariance whose members share something by groups:
//   V = diag(1 / w_i) + shared * (1 where i and j are of one group)
//   V^-1 x = w x - pull_g w (sum over the group of w x),
//   pull_g = shared / (1 + shared W_g),  W_g = sum over the group of w
// (Sherman and Morrison 1950, Annals of Mathematical Statistics 21:124), so
// that no matrix of all members is ever made.
#pragma once

#include <vector>

#include <Eigen/Core>

namespace evenfeed {

class GroupedPrecision {
 public:
  /// `groups`: 0, 1, ... per member; empty: nothing is shared. w_i > 0.
  GroupedPrecision(Eigen::VectorXd weights,
                   std::vector<int> groups,
                   double shared);

  [[nodiscard]] Eigen::MatrixXd times(const Eigen::MatrixXd& x) const;
  /// Of V.
  [[nodiscard]] double log_determinant() const;
  /// Sums of rows by group: Z'x. One row per group.
  [[nodiscard]] Eigen::MatrixXd group_sums(const Eigen::MatrixXd& x) const;

  const Eigen::VectorXd& weights() const { return weights_; }
  const Eigen::VectorXd& group_weights() const { return of_group_; }
  double shared() const { return shared_; }
  bool grouped() const { return !groups_.empty(); }
  Eigen::Index group(Eigen::Index i) const {
    return groups_[static_cast<std::size_t>(i)];
  }
  double pull(Eigen::Index group) const {
    return shared_ / (1 + shared_ * of_group_(group));
  }

 private:
  Eigen::VectorXd weights_;
  std::vector<int> groups_;
  double shared_ = 0;
  Eigen::VectorXd of_group_;  ///< W_g
};

}  // namespace evenfeed
