// SPDX-License-Identifier: MIT
#include "charts/individuals_run_length.h"

#include "base/check.h"
#include "charts/design_search.h"
#include "stats/distributions.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <Eigen/LU>

namespace evenfeed {
namespace {

constexpr int kCells = 200;

double alone(double width, double shift) {
  return 1 / (normal_cdf(shift - width) + normal_cdf(-shift - width));
}

}  // namespace

double individuals_run_length(double width, double shift, double range_limit) {
  require_positive(width, "width");
  require_finite(shift, "shift");
  require(range_limit > 0, "a range limit of 0 or less");
  if (range_limit >= 2 * width) return alone(width, shift);
  const double cell = 2 * width / kCells;
  // P(next value <= edge), by edge.
  const auto below = [&](double y) { return normal_cdf(y - shift); };
  Eigen::MatrixXd system = Eigen::MatrixXd::Identity(kCells, kCells);
  Eigen::VectorXd first(kCells);
  for (int j = 0; j < kCells; ++j) {
    const double low = -width + j * cell;
    first(j) = below(low + cell) - below(low);
    for (int i = 0; i < kCells; ++i) {
      const double x = -width + (i + 0.5) * cell;
      const double from = std::max(low, x - range_limit);
      const double to = std::min(low + cell, x + range_limit);
      if (to <= from) continue;
      system(i, j) -=
          from == low && to == low + cell ? first(j) : below(to) - below(from);
    }
  }
  const Eigen::VectorXd lengths =
      system.partialPivLu().solve(Eigen::VectorXd::Ones(kCells));
  return 1 + first.dot(lengths);
}

double individuals_width(double run_length) {
  require_in_range(run_length, 2, 1e9, "run_length");
  return normal_quantile(1 - 0.5 / run_length);
}

double individuals_and_range_width(double run_length) {
  static DesignCache cache;
  return cache.find({run_length}, [&] {
    const double one = individuals_width(run_length);
    return find_limit(
        [](double m) {
          return individuals_run_length(m, 0, std::sqrt(2.0) * m);
        },
        run_length,
        0.8 * one,
        1.3 * one);
  });
}

}  // namespace evenfeed
