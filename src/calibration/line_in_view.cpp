// SPDX-License-Identifier: MIT
#include "calibration/line_in_view.h"

namespace evenfeed {

std::optional<Eigen::Vector2d> far_in_view(const CameraModel& camera,
                                           const SurfaceLine& line,
                                           bool from_low) {
  constexpr int kPieces = 64;
  std::optional<Eigen::Vector2d> last;
  for (int i = 0; i <= kPieces; ++i) {
    const double in = static_cast<double>(i) / kPieces;
    const auto at = camera.project(line.middle_m(from_low ? in : 1 - in));
    if (!at || !camera.in_picture(*at)) break;
    last = at;
  }
  return last;
}

}  // namespace evenfeed
