// SPDX-License-Identifier: MIT
#include "stats/covariance.h"

#include "base/check.h"

#include <cmath>
#include <limits>
#include <numeric>

namespace evenfeed {

MeanCovariance mean_covariance(const Eigen::MatrixXd& rows,
                               const std::vector<int>& which) {
  require(!which.empty(), "a mean needs at least one row");
  MeanCovariance out;
  out.n = static_cast<int>(which.size());
  // From the first row on, so that a constant column has no variance at all:
  // the rounding of a mean would give it a little, and a matrix of such little
  // numbers looks regular.
  const Eigen::VectorXd first = rows.row(which.front()).transpose();
  out.mean = Eigen::VectorXd::Zero(rows.cols());
  for (const int i : which) out.mean += rows.row(i).transpose() - first;
  out.mean = first + out.mean / out.n;
  out.covariance = Eigen::MatrixXd::Zero(rows.cols(), rows.cols());
  for (const int i : which) {
    const Eigen::VectorXd d = rows.row(i).transpose() - out.mean;
    out.covariance += d * d.transpose();
  }
  out.covariance /= out.n - 1;  // 0 / 0 for one row: not known
  return out;
}

MeanCovariance mean_covariance(const Eigen::MatrixXd& rows) {
  std::vector<int> all(static_cast<std::size_t>(rows.rows()));
  std::iota(all.begin(), all.end(), 0);
  return mean_covariance(rows, all);
}

Mahalanobis::Mahalanobis(Eigen::VectorXd mean,
                         const Eigen::MatrixXd& covariance)
    : mean_(std::move(mean)), factor_(covariance) {
  if (factor_.info() != Eigen::Success) return;
  const Eigen::VectorXd scale = covariance.diagonal().cwiseSqrt();
  const Eigen::VectorXd pivots = factor_.matrixLLT().diagonal();
  regular_ = (pivots.array() > 1e-5 * scale.array()).all();
}

double Mahalanobis::squared(const Eigen::VectorXd& x) const {
  if (!regular_) return std::numeric_limits<double>::infinity();
  return factor_.matrixL().solve(x - mean_).squaredNorm();
}

double Mahalanobis::log_determinant() const {
  if (!regular_) return -std::numeric_limits<double>::infinity();
  return 2 * factor_.matrixLLT().diagonal().array().log().sum();
}

std::vector<int> regular_columns(const Eigen::MatrixXd& covariance,
                                 double tolerance) {
  std::vector<int> kept;
  for (int j = 0; j < covariance.rows(); ++j) {
    const double variance = covariance(j, j);
    if (!(variance > 0)) continue;
    double rest = variance;
    if (!kept.empty()) {
      Eigen::VectorXd cross(static_cast<Eigen::Index>(kept.size()));
      for (std::size_t k = 0; k < kept.size(); ++k) {
        cross(static_cast<Eigen::Index>(k)) = covariance(kept[k], j);
      }
      rest -= cross.dot(submatrix(covariance, kept).ldlt().solve(cross));
    }
    if (rest > tolerance * variance) kept.push_back(j);
  }
  return kept;
}

Eigen::MatrixXd submatrix(const Eigen::MatrixXd& matrix,
                          const std::vector<int>& which) {
  const auto n = static_cast<Eigen::Index>(which.size());
  Eigen::MatrixXd out(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < n; ++j) {
      out(i, j) = matrix(which[static_cast<std::size_t>(i)],
                         which[static_cast<std::size_t>(j)]);
    }
  }
  return out;
}

Eigen::VectorXd subvector(const Eigen::VectorXd& vector,
                          const std::vector<int>& which) {
  Eigen::VectorXd out(static_cast<Eigen::Index>(which.size()));
  for (std::size_t i = 0; i < which.size(); ++i) {
    out(static_cast<Eigen::Index>(i)) = vector(which[i]);
  }
  return out;
}

}  // namespace evenfeed
