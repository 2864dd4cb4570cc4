// SPDX-License-Identifier: MIT
// A root of a covariance that may be singular.
#pragma once

#include <Eigen/Core>
#include <Eigen/Eigenvalues>

namespace evenfeed {

/// R with R R^T = covariance, which must be symmetric and of fixed size; what
/// rounding made negative counts as 0.
template <int N>
Eigen::Matrix<double, N, N> covariance_root(
    const Eigen::Matrix<double, N, N>& covariance) {
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, N, N>> solver(
      covariance);
  return solver.eigenvectors() *
         solver.eigenvalues().cwiseMax(0).cwiseSqrt().asDiagonal();
}

/// The symmetric root, which changes as little as the covariance does: without
/// the choice of sign and order that the other has.
template <int N>
Eigen::Matrix<double, N, N> symmetric_root(
    const Eigen::Matrix<double, N, N>& covariance) {
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, N, N>> solver(
      covariance);
  return solver.eigenvectors() *
         solver.eigenvalues().cwiseMax(0).cwiseSqrt().asDiagonal() *
         solver.eigenvectors().transpose();
}

}  // namespace evenfeed
