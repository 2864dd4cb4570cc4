// SPDX-License-Identifier: MIT
// Mean, covariance and Mahalanobis distance of vectors.
#pragma once

#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace evenfeed {

struct MeanCovariance {
  int n = 0;
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;  ///< divisor n - 1; NaN for one row
};

/// Of the rows named by `which`, or of all of them. At least one row.
[[nodiscard]] MeanCovariance mean_covariance(const Eigen::MatrixXd& rows,
                                             const std::vector<int>& which);
[[nodiscard]] MeanCovariance mean_covariance(const Eigen::MatrixXd& rows);

/// (x - mean)' covariance^-1 (x - mean) for many x: factorises once.
class Mahalanobis {
 public:
  /// `covariance` must be symmetric; see regular().
  Mahalanobis(Eigen::VectorXd mean, const Eigen::MatrixXd& covariance);
  /// False when the covariance is not positive definite (to 1e-10 of its
  /// scale); distances are then infinite.
  bool regular() const { return regular_; }
  double squared(const Eigen::VectorXd& x) const;
  double log_determinant() const;

 private:
  Eigen::VectorXd mean_;
  Eigen::LLT<Eigen::MatrixXd> factor_;
  bool regular_ = false;
};

/// The largest set of columns, taken in order, whose correlation matrix is
/// regular: a column is left out when its variance is 0 or all but
/// `tolerance` of it is explained by the columns already in.
[[nodiscard]] std::vector<int> regular_columns(
    const Eigen::MatrixXd& covariance, double tolerance = 1e-6);

/// Rows and columns `which` of a square matrix, in that order.
Eigen::MatrixXd submatrix(const Eigen::MatrixXd& matrix,
                          const std::vector<int>& which);
Eigen::VectorXd subvector(const Eigen::VectorXd& vector,
                          const std::vector<int>& which);

}  // namespace evenfeed
