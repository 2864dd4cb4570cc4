// SPDX-License-Identifier: MIT
#include "simulate/ball_shadow.h"

#include "simulate/ball_picture.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

namespace evenfeed {
namespace {

// A ball's shadow on a level plane: the lamp's, a soft disc; and that of the
// light from everywhere, which a sphere of radius r at height h over the plane
// takes away by r^2 h / (d^2 + h^2)^(3/2) at distance d from its foot.
struct Shadow {
  Eigen::Vector3d foot_m;
  double height_m = 0;  ///< of the ball's centre over the plane
  Eigen::Vector3d middle_m;
  double core_m = 0;    ///< radius were the lamp a point
  double soft_m = 0;    ///< width of the lamp's own disc there
  double radius_m = 0;  ///< of the ball
  double ambient = 0.5;

  double reach_m() const { return core_m + soft_m; }

  double keeps(const Eigen::Vector3d& x_m) const {
    const double off = (x_m - middle_m).head<2>().norm();
    const double lamp =
        std::min(1.0, core_m * core_m / (soft_m * soft_m + 1e-12));
    const double inner = std::abs(core_m - soft_m);
    const double t =
        std::clamp((off - inner) / (reach_m() - inner + 1e-9), 0.0, 1.0);
    const double blocked = lamp * (1 - t * t * (3 - 2 * t));
    const double d2 = (x_m - foot_m).head<2>().squaredNorm();
    const double sky = radius_m * radius_m * height_m /
                       std::pow(d2 + height_m * height_m, 1.5);
    return 1 - (1 - ambient) * blocked - ambient * std::min(0.9, sky);
  }
};

Shadow shadow_on(const Canvas& canvas,
                 const Eigen::Vector3d& ball_m,
                 double plane_z_m) {
  const Light& light = canvas.hall.light();
  Shadow shadow;
  shadow.radius_m = canvas.scene.ball.radius_m;
  shadow.ambient = light.ambient();
  shadow.height_m = ball_m.z() - plane_z_m;
  shadow.foot_m = {ball_m.x(), ball_m.y(), plane_z_m};
  const Eigen::Vector3d& lamp = light.lamp_m();
  const double stretch = (lamp.z() - plane_z_m) / (lamp.z() - ball_m.z());
  shadow.middle_m = lamp + stretch * (ball_m - lamp);
  shadow.core_m = shadow.radius_m * stretch;
  shadow.soft_m = light.lamp_radius_m() * (stretch - 1);
  return shadow;
}

// Part of the picture around a disc on a level plane.
cv::Rect disc_bounds(const Canvas& canvas,
                     const Eigen::Vector3d& middle_m,
                     double radius_m) {
  double u0 = 1e9, v0 = 1e9, u1 = -1e9, v1 = -1e9;
  for (int i = 0; i < 8; ++i) {
    const double angle = i * 0.785398163397;
    const auto px = canvas.scene.camera.model.project(
        middle_m +
        1.09 * radius_m * Eigen::Vector3d(std::cos(angle), std::sin(angle), 0));
    if (!px) return {};
    u0 = std::min(u0, px->x());
    u1 = std::max(u1, px->x());
    v0 = std::min(v0, px->y());
    v1 = std::max(v1, px->y());
  }
  const cv::Rect picture(0, 0, canvas.light.cols, canvas.light.rows);
  return cv::Rect(cv::Point(cvFloor(std::max(u0, -1e6)),
                            cvFloor(std::max(v0, -1e6))),
                  cv::Point(cvCeil(std::min(u1, 1e6)) + 1,
                            cvCeil(std::min(v1, 1e6)) + 1)) &
         picture;
}

void darken(Canvas& canvas,
            const std::vector<Shadow>& shadows,
            double plane_z_m,
            const cv::Mat1f& plane_cover,
            const cv::Rect& rect) {
  const CameraModel& camera = canvas.scene.camera.model;
  const Eigen::Matrix3d table_from_camera =
      camera.camera_from_table.rotation.conjugate().toRotationMatrix();
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  for (int v = rect.y; v < rect.br().y; ++v) {
    for (int u = rect.x; u < rect.br().x; ++u) {
      const float cover = plane_cover(v, u);
      if (cover <= 0) continue;
      const cv::Vec2f& xy = canvas.backdrop.sight(v, u);
      const Eigen::Vector3d ray =
          table_from_camera * Eigen::Vector3d(xy[0], xy[1], 1);
      const Eigen::Vector3d at = eye + (plane_z_m - eye.z()) / ray.z() * ray;
      double keeps = 0;
      for (const Shadow& shadow : shadows) keeps += shadow.keeps(at);
      keeps /= static_cast<double>(shadows.size());
      canvas.light(v, u) *= static_cast<float>(1 - cover * (1 - keeps));
    }
  }
}

}  // namespace

std::vector<cv::Rect> draw_ball_shadow(Canvas& canvas,
                                       const BallPath& path,
                                       double t_frame_s) {
  constexpr int kMoments = 4;  // shadows are soft: few are enough
  const Scene& scene = canvas.scene;
  const CameraModel& camera = scene.camera.model;
  const auto sight = see_ball(scene, path, t_frame_s);
  std::vector<cv::Rect> changed;
  if (!sight) return changed;
  const double plane_z[2] = {0, -scene.surface.height_above_floor_m};
  const cv::Mat1f* covers[2] = {&canvas.backdrop.on_table,
                                &canvas.backdrop.on_floor};
  for (int plane = 0; plane < 2; ++plane) {
    std::vector<Shadow> shadows;
    cv::Rect rect;
    for (int k = 0; k < kMoments; ++k) {
      const double shift =
          ((k + 0.5) / kMoments - 0.5) * camera.exposure_or_zero_s();
      const auto state = path.at(sight->t_s + shift);
      if (!state || state->x_m.z() < plane_z[plane]) continue;
      shadows.push_back(shadow_on(canvas, state->x_m, plane_z[plane]));
      const Shadow& last = shadows.back();
      rect |= disc_bounds(canvas, last.middle_m, last.reach_m());
      if (last.height_m < 6 * last.radius_m) {
        rect |= disc_bounds(canvas, last.foot_m, 3 * last.height_m);
      }
    }
    if (shadows.empty() || rect.empty()) continue;
    darken(canvas, shadows, plane_z[plane], *covers[plane], rect);
    changed.push_back(rect);
  }
  return changed;
}

}  // namespace evenfeed
