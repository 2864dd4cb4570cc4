// SPDX-License-Identifier: MIT
#include "flight/even_motion.h"

#include "stats/descriptive.h"

namespace evenfeed {

bool moves_evenly(const std::vector<Sighting>& seen) {
  constexpr std::size_t kFewest = 3;
  constexpr double kMost = 0.35;
  if (seen.size() < kFewest) return false;
  std::vector<double> speeds, changes, bends;
  Eigen::Vector2d before = Eigen::Vector2d::Zero();
  Eigen::Vector2d change_before = Eigen::Vector2d::Zero();
  for (std::size_t i = 1; i < seen.size(); ++i) {
    const double step_s = seen[i].t_s - seen[i - 1].t_s;
    if (step_s <= 0) return false;
    const Eigen::Vector2d velocity =
        (seen[i].centre_px - seen[i - 1].centre_px) / step_s;
    speeds.push_back(velocity.norm());
    const Eigen::Vector2d change = velocity - before;
    if (i > 1) changes.push_back(change.norm());
    if (i > 2) bends.push_back((change - change_before).norm());
    before = velocity;
    change_before = change;
  }
  const double most = kMost * median(speeds);
  if (median(changes) < most) return true;
  return bends.size() + 1 >= kFewest && median(bends) < most;
}

}  // namespace evenfeed
