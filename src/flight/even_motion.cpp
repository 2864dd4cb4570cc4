// SPDX-License-Identifier: MIT
#include "flight/even_motion.h"

#include "stats/descriptive.h"

namespace evenfeed {

bool moves_evenly(const std::vector<Sighting>& seen) {
  constexpr std::size_t kFewest = 3;
  constexpr double kMost = 0.35;
  if (seen.size() < kFewest) return false;
  std::vector<double> speeds, changes;
  Eigen::Vector2d before = Eigen::Vector2d::Zero();
  for (std::size_t i = 1; i < seen.size(); ++i) {
    const double step_s = seen[i].t_s - seen[i - 1].t_s;
    if (step_s <= 0) return false;
    const Eigen::Vector2d velocity =
        (seen[i].centre_px - seen[i - 1].centre_px) / step_s;
    speeds.push_back(velocity.norm());
    if (i > 1) changes.push_back((velocity - before).norm());
    before = velocity;
  }
  return median(changes) < kMost * median(speeds);
}

}  // namespace evenfeed
