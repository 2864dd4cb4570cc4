// SPDX-License-Identifier: MIT
#include "geometry/steady_view.h"

#include <cmath>
#include <limits>

namespace evenfeed {

Eigen::Vector2d SteadyView::operator()(const Eigen::Vector2d& point_px) const {
  // Lines of sight that pass over the table: what they end on is far away.
  constexpr double kFar_m = 20;
  auto seen_m = moved_.meet_plane(point_px, height_m_);
  const Eigen::Vector3d eye_m = moved_.eye_in_table_m();
  if (!seen_m || (*seen_m - eye_m).norm() > kFar_m) {
    seen_m = eye_m + kFar_m * moved_.ray_in_table(point_px);
  }
  return calibrated_.project(*seen_m).value_or(point_px);
}

double shift_at_table_m(const CameraModel& a,
                        const CameraModel& b,
                        const std::vector<Eigen::Vector3d>& points_m) {
  double sum_m2 = 0;
  int count = 0;
  for (const Eigen::Vector3d& point_m : points_m) {
    const auto seen_px = b.project(point_m);
    if (!seen_px) continue;
    const auto placed_m = a.meet_plane(*seen_px, 0);
    if (!placed_m) continue;
    sum_m2 += (*placed_m - point_m).squaredNorm();
    ++count;
  }
  return count > 0 ? std::sqrt(sum_m2 / count)
                   : std::numeric_limits<double>::quiet_NaN();
}

}  // namespace evenfeed
