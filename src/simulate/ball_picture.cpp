// SPDX-License-Identifier: MIT
#include "simulate/ball_picture.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>
#include <opencv2/imgproc.hpp>

namespace evenfeed {
namespace {

// The ball at one moment of the exposure, in the camera frame.
struct Moment {
  Eigen::Vector3d x_in_camera_m;
  Eigen::Vector3d v_in_camera_mps;
  Eigen::Vector2d centre_px;
};

struct Exposure {
  std::vector<Moment> moments;
  double row_px = 0;     ///< the row the moments are timed for
  int asked = 0;         ///< moments with and without a ball
  double radius_px = 0;  ///< largest
};

cv::Rect inside(const cv::Rect& rect, const cv::Mat& picture) {
  return rect & cv::Rect(0, 0, picture.cols, picture.rows);
}

double px_per_m(const CameraModel& camera, const Eigen::Vector3d& in_camera) {
  return camera.lens.focal_px / in_camera.norm();
}

// Some 0.7 px between moments, so that their sum is smooth.
int moment_count(const Scene& scene, const BallSight& sight) {
  const CameraModel& camera = scene.camera.model;
  const Eigen::Vector3d x = camera.camera_from_table * sight.state.x_m;
  const double streak_px = sight.state.v_mps.norm() *
                           camera.exposure_or_zero_s() * px_per_m(camera, x);
  return std::clamp(static_cast<int>(std::ceil(streak_px / 0.7)), 4, 64);
}

Exposure expose(const Scene& scene,
                const BallPath& path,
                double t_frame_s,
                const BallSight& sight) {
  const CameraModel& camera = scene.camera.model;
  Exposure exposure;
  exposure.row_px = sight.centre_px.y();
  exposure.asked = moment_count(scene, sight);
  const double open_s = t_frame_s + exposure.row_px / camera.height_px *
                                        camera.readout_or_zero_s();
  for (int k = 0; k < exposure.asked; ++k) {
    const auto state = path.at(open_s + (k + 0.5) / exposure.asked *
                                            camera.exposure_or_zero_s());
    if (!state) continue;
    const auto centre_px = camera.project(state->x_m);
    if (!centre_px) continue;
    Moment moment;
    moment.x_in_camera_m = camera.camera_from_table * state->x_m;
    moment.v_in_camera_mps = camera.camera_from_table.rotation * state->v_mps;
    moment.centre_px = *centre_px;
    exposure.radius_px = std::max(
        exposure.radius_px,
        1.1 * scene.ball.radius_m * px_per_m(camera, moment.x_in_camera_m));
    exposure.moments.push_back(moment);
  }
  return exposure;
}

cv::Rect bounds(const Exposure& exposure, double margin_px) {
  double u0 = 1e9, v0 = 1e9, u1 = -1e9, v1 = -1e9;
  for (const Moment& moment : exposure.moments) {
    u0 = std::min(u0, moment.centre_px.x());
    u1 = std::max(u1, moment.centre_px.x());
    v0 = std::min(v0, moment.centre_px.y());
    v1 = std::max(v1, moment.centre_px.y());
  }
  const double pad = exposure.radius_px + margin_px;
  const cv::Point low(cvFloor(u0 - pad), cvFloor(v0 - pad));
  const cv::Point high(cvCeil(u1 + pad) + 1, cvCeil(v1 + pad) + 1);
  return {low, high};
}

// Light from the ball's surface, for outward normal and view in camera frame.
class BallShade {
 public:
  BallShade(const Canvas& canvas, const MovingBall& state)
      : amount_(canvas.scene.look.ball_shading) {
    const auto& rotation = canvas.scene.camera.model.camera_from_table.rotation;
    const Light& light = canvas.hall.light();
    lamp_ = rotation * light.to_lamp(state.x_m);
    up_ = rotation * Eigen::Vector3d::UnitZ();
    ambient_ = light.ambient();
    level_ = light.level(state.x_m);
  }
  double at(const Eigen::Vector3d& normal, const Eigen::Vector3d& view) const {
    // A hollow plastic shell lets light through: the lamp wraps around it.
    const double lamp = std::max(0.0, (normal.dot(lamp_) + 0.35) / 1.35);
    const double sky = 0.62 + 0.38 * normal.dot(up_);
    const double rim = 0.78 + 0.22 * std::max(0.0, -normal.dot(view));
    const double shaded = rim * (ambient_ * sky + (1 - ambient_) * 1.1 * lamp);
    return level_ * (1 + amount_ * (shaded - 1));
  }

 private:
  double amount_, ambient_ = 0, level_ = 1;
  Eigen::Vector3d lamp_, up_;
};

// Adds one pixel's share of the ball at one moment: cover and light. The edge
// is a ramp one pixel wide around the true outline (the tangent cone).
//   q(d) = (d.c)^2 - d.d (c.c - r^2) > 0  inside the outline, d = (x, y, 1)
struct PixelShare {
  double cover = 0;
  double light = 0;
};

PixelShare share_of(const Eigen::Vector3d& d,
                    const Eigen::Vector3d& c,
                    double radius_m,
                    double pixel_size,
                    const BallShade& shade) {
  const double dc = d.dot(c);
  const double dd = d.squaredNorm();
  const double outside = c.squaredNorm() - radius_m * radius_m;
  const double q = dc * dc - dd * outside;
  const Eigen::Vector2d slope = 2 * (dc * c.head<2>() - outside * d.head<2>());
  const double ramp = slope.norm() * pixel_size;
  const double cover = ramp > 0 ? std::clamp(0.5 + q / ramp, 0.0, 1.0) : 1.0;
  if (cover <= 0) return {};
  const double t = (dc - std::sqrt(std::max(0.0, q))) / dd;
  const Eigen::Vector3d normal = (t * d - c).normalized();
  return {cover, cover * shade.at(normal, d.normalized())};
}

// Part of the pixel in which a thing at this depth is not hidden.
double unhidden(const Canvas& canvas, int u, int v, double depth_m) {
  const Backdrop& back = canvas.backdrop;
  if (depth_m > back.depth_m(v, u)) return 0;
  double part = 1;
  if (depth_m > back.net_depth_m(v, u)) {
    part -= Hall::kMesh * back.net_cover(v, u);
  }
  if (!canvas.arm_cover.empty() && depth_m > canvas.arm_depth_m(v, u)) {
    part *= 1 - canvas.arm_cover(v, u);
  }
  return part;
}

// Cover and light of the ball in `rect`, averaged over the exposure.
cv::Mat2f average(const Canvas& canvas,
                  const Exposure& exposure,
                  const BallShade& shade,
                  const cv::Rect& rect) {
  const CameraModel& camera = canvas.scene.camera.model;
  const double radius_m = canvas.scene.ball.radius_m;
  const double row_s = camera.readout_or_zero_s() / camera.height_px;
  cv::Mat2f sum = cv::Mat2f::zeros(rect.size());
  for (const Moment& moment : exposure.moments) {
    const double reach = exposure.radius_px + 3;
    const int v0 = std::max(rect.y, cvFloor(moment.centre_px.y() - reach));
    const int v1 = std::min(rect.br().y, cvCeil(moment.centre_px.y() + reach));
    const int u0 = std::max(rect.x, cvFloor(moment.centre_px.x() - reach));
    const int u1 = std::min(rect.br().x, cvCeil(moment.centre_px.x() + reach));
    const double r2 =
        (moment.x_in_camera_m.head<2>() / moment.x_in_camera_m.z())
            .squaredNorm();
    const double pixel =
        1 / (camera.lens.focal_px * (1 + 2 * camera.lens.k1 * r2));
    for (int v = v0; v < v1; ++v) {
      const Eigen::Vector3d c =
          moment.x_in_camera_m +
          (v - exposure.row_px) * row_s * moment.v_in_camera_mps;
      for (int u = u0; u < u1; ++u) {
        const cv::Vec2f& xy = canvas.backdrop.sight(v, u);
        const Eigen::Vector3d d{xy[0], xy[1], 1};
        PixelShare share = share_of(d, c, radius_m, pixel, shade);
        if (share.cover <= 0) continue;
        const double free = unhidden(canvas, u, v, d.dot(c) / d.norm());
        sum(v - rect.y, u - rect.x) +=
            cv::Vec2f(static_cast<float>(free * share.cover),
                      static_cast<float>(free * share.light));
      }
    }
  }
  sum *= 1.0 / exposure.asked;
  return sum;
}

}  // namespace

cv::Rect draw_ball(Canvas& canvas, const BallPath& path, double t_frame_s) {
  const auto sight = see_ball(canvas.scene, path, t_frame_s);
  if (!sight) return {};
  const Exposure exposure = expose(canvas.scene, path, t_frame_s, *sight);
  if (exposure.moments.empty()) return {};
  const double blur = canvas.scene.camera.blur_px;
  // Drawn with a rim beyond the picture's edge only as far as it has pixels.
  const cv::Rect rect = inside(bounds(exposure, 3 + 4 * blur), canvas.light);
  if (rect.empty()) return {};
  const BallShade shade(canvas, sight->state);
  cv::Mat2f ball = average(canvas, exposure, shade, rect);
  if (blur > 0) {
    cv::GaussianBlur(ball, ball, {0, 0}, blur, blur, cv::BORDER_REPLICATE);
  }
  const Rgb& colour = canvas.scene.look.ball;
  const double shade_of_lens =
      vignetting(canvas.scene, sight->centre_px.x(), sight->centre_px.y());
  for (int v = 0; v < rect.height; ++v) {
    for (int u = 0; u < rect.width; ++u) {
      const float cover = ball(v, u)[0];
      if (cover <= 0) continue;
      const double light = ball(v, u)[1] * shade_of_lens;
      cv::Vec3f& pixel = canvas.light(rect.y + v, rect.x + u);
      for (int i = 0; i < 3; ++i) {
        pixel[i] =
            static_cast<float>((1 - cover) * pixel[i] + light * colour[i]);
      }
    }
  }
  return rect;
}

}  // namespace evenfeed
