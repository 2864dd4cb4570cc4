// SPDX-License-Identifier: MIT
#include "simulate/ball_sight.h"

namespace evenfeed {

std::optional<BallSight> see_ball(const Scene& scene,
                                  const BallPath& path,
                                  double t_frame_s) {
  const CameraModel& camera = scene.camera.model;
  BallSight sight;
  sight.centre_px.y() = camera.height_px / 2.0;
  for (int i = 0; i < 6; ++i) {
    sight.t_s = camera.mid_exposure_s(t_frame_s, sight.centre_px.y());
    const auto state = path.at(sight.t_s);
    if (!state) return std::nullopt;
    const auto centre_px = camera.project(state->x_m);
    if (!centre_px) return std::nullopt;
    sight.state = *state;
    sight.centre_px = *centre_px;
    if (camera.readout_or_zero_s() == 0) break;
  }
  // Across: a step that changes neither the distance nor the radius from the
  // optical axis, so that distortion's slope does not enter.
  const Eigen::Vector3d c = camera.camera_from_table * sight.state.x_m;
  const double r2 = (c.head<2>() / c.z()).squaredNorm();
  const double scale = camera.lens.focal_px *
                       (1 + r2 * (camera.lens.k1 + r2 * camera.lens.k2)) /
                       c.z();
  sight.diameter_px = 2 * scene.ball.radius_m * scale;
  return sight;
}

}  // namespace evenfeed
