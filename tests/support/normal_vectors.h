// SPDX-License-Identifier: MIT
#pragma once

#include "base/random.h"

#include <random>

#include <Eigen/Core>

namespace evenfeed {

/// A row per vector of p independent standard normal values.
inline Eigen::MatrixXd normal_vectors(int rows, int p, RandomEngine& engine) {
  std::normal_distribution<double> normal;
  Eigen::MatrixXd x(rows, p);
  for (double& one : x.reshaped()) one = normal(engine);
  return x;
}

}  // namespace evenfeed
