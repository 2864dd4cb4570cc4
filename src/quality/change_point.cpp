// SPDX-License-Identifier: MIT
#include "quality/change_point.h"

#include "base/check.h"

#include <cmath>

namespace evenfeed {

ChangePoint find_change(const std::vector<Eigen::VectorXd>& deviations,
                        double confidence,
                        double baseline_n) {
  require_probability(confidence, "change point confidence");
  ChangePoint change;
  require(baseline_n > 0, "a baseline of no feeds");
  if (deviations.empty()) return change;
  const int total = static_cast<int>(deviations.size());
  std::vector<double> statistic(deviations.size(), 0);
  Eigen::VectorXd sum = Eigen::VectorXd::Zero(deviations.front().size());
  double known = 0;
  change.last_before = total - 1;
  for (int t = total - 1; t >= 0; --t) {
    const Eigen::VectorXd& one = deviations[static_cast<std::size_t>(t)];
    if (one.allFinite()) {
      sum += one;
      known += 1;
    }
    if (known == 0) continue;
    const double value =
        (sum / known).squaredNorm() / (1 / known + 1 / baseline_n);
    statistic[static_cast<std::size_t>(t)] = value;
    if (value > change.statistic) {
      change.statistic = value;
      change.last_before = t;
      change.shift = sum / known;
    }
  }
  if (known == 0) return change;
  change.ok = true;
  if (change.shift.size() == 0) change.shift = sum / known;
  // (1 - e^-x)^2 = confidence
  const double allowed = -2 * std::log(1 - std::sqrt(confidence));
  change.interval_first = change.interval_last = change.last_before;
  for (int t = 0; t < total; ++t) {
    if (change.statistic - statistic[static_cast<std::size_t>(t)] > allowed) {
      continue;
    }
    change.interval_first = std::min(change.interval_first, t);
    change.interval_last = std::max(change.interval_last, t);
  }
  return change;
}

}  // namespace evenfeed
