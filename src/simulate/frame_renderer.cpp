// SPDX-License-Identifier: MIT
#include "simulate/frame_renderer.h"

#include "base/check.h"
#include "simulate/arm.h"
#include "simulate/sensor.h"
#include "simulate/strays.h"

#include <algorithm>
#include <cmath>

namespace evenfeed {

std::vector<double> frame_times(const Scene& scene, std::uint64_t seed) {
  RandomEngine engine = derived_engine(seed, "frame times");
  std::uniform_real_distribution<double> chance(0, 1);
  std::normal_distribution<double> normal;
  const SceneCamera& camera = scene.camera;
  const auto frames =
      static_cast<int>(std::floor(film_duration_s(scene) * camera.fps + 1e-9)) +
      1;
  std::vector<double> times;
  for (int n = 0; n < frames; ++n) {
    const bool dropped = chance(engine) < camera.drop_probability;
    const double limit_s = 0.4 / camera.fps;
    const double jitter_s =
        std::clamp(camera.stamp_jitter_s * normal(engine), -limit_s, limit_s);
    if (n > 0 && dropped) continue;
    times.push_back(n == 0 ? 0 : n / camera.fps + jitter_s);
  }
  return times;
}

struct FrameRenderer::Impl {
  Impl(const Scene& scene_in, std::uint64_t seed)
      : scene(scene_in),
        hall(scene),
        backdrop(draw_backdrop(scene, hall)),
        sensor(scene, seed),
        times_s(frame_times(scene, seed)),
        balls(true_balls(scene, seed)),
        arms(arm_visits(scene, seed)),
        light(backdrop.light.clone()) {
    still.y.create(light.size());
    still.u.create(light.rows / 2, light.cols / 2);
    still.v.create(light.rows / 2, light.cols / 2);
    sensor.store(light, cv::Rect({0, 0}, light.size()), still);
    planes = {still.y.clone(), still.u.clone(), still.v.clone()};
  }

  // Puts the backdrop back where the last frame had something else.
  void restore() {
    for (const cv::Rect& rect : changed) {
      backdrop.light(rect).copyTo(light(rect));
      const cv::Point low(rect.x & ~1, rect.y & ~1);
      const cv::Point high((rect.br().x + 1) & ~1, (rect.br().y + 1) & ~1);
      const cv::Rect even(low, high);
      const cv::Rect half(low / 2, high / 2);
      still.y(even).copyTo(planes.y(even));
      still.u(half).copyTo(planes.u(half));
      still.v(half).copyTo(planes.v(half));
    }
    changed.clear();
  }

  void note(const cv::Rect& rect) {
    if (!rect.empty()) changed.push_back(rect);
  }

  void draw(double t_frame_s) {
    Canvas canvas{scene, hall, backdrop, light, {}, {}};
    const double until_s = t_frame_s + scene.camera.model.exposure_s +
                           scene.camera.model.readout_s;
    std::vector<const TrueBall*> alive;
    for (const TrueBall& ball : balls) {
      if (ball.path.start_s() <= until_s && ball.path.end_s() >= t_frame_s) {
        alive.push_back(&ball);
      }
    }
    for (const TrueBall* ball : alive) {
      for (const cv::Rect& rect :
           draw_ball_shadow(canvas, ball->path, t_frame_s)) {
        note(rect);
      }
    }
    for (const ArmVisit& arm : arms) note(draw_arm(canvas, arm, t_frame_s));
    for (const TrueBall* ball : alive) {
      note(draw_ball(canvas, ball->path, t_frame_s));
    }
    for (const cv::Rect& rect : changed) sensor.store(light, rect, planes);
  }

  const Scene scene;
  const Hall hall;
  const Backdrop backdrop;
  const Sensor sensor;
  const std::vector<double> times_s;
  const std::vector<TrueBall> balls;
  const std::vector<ArmVisit> arms;
  cv::Mat3f light;
  FinePlanes still;
  FinePlanes planes;
  std::vector<cv::Rect> changed;
};

FrameRenderer::FrameRenderer(const Scene& scene, std::uint64_t seed)
    : impl_(std::make_unique<Impl>(scene, seed)) {}
FrameRenderer::~FrameRenderer() = default;

const std::vector<double>& FrameRenderer::times_s() const {
  return impl_->times_s;
}

const std::vector<TrueBall>& FrameRenderer::balls() const {
  return impl_->balls;
}

YuvPicture FrameRenderer::render(int frame) {
  require(frame >= 0 && frame < static_cast<int>(impl_->times_s.size()),
          "render: no such frame");
  impl_->restore();
  impl_->draw(impl_->times_s[frame]);
  return impl_->sensor.develop(
      impl_->planes, impl_->times_s[frame], static_cast<std::uint64_t>(frame));
}

YuvPicture FrameRenderer::render_empty() {
  return impl_->sensor.develop(impl_->still, 0, 0);
}

double FrameRenderer::seen_part(const BallSight& sight, int frame) const {
  const CameraModel& camera = impl_->scene.camera.model;
  if (!camera.in_picture(sight.centre_px)) return 0;
  const int u = static_cast<int>(std::lround(sight.centre_px.x()));
  const int v = static_cast<int>(std::lround(sight.centre_px.y()));
  const Backdrop& back = impl_->backdrop;
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  const Eigen::Vector3d line = sight.state.x_m - eye;
  const double depth_m = line.norm();
  if (depth_m > back.depth_m(v, u)) return 0;
  const double t_s =
      camera.mid_exposure_s(impl_->times_s[frame], camera.height_px / 2.0);
  for (const ArmVisit& arm : impl_->arms) {
    if (!arm.active(t_s)) continue;
    for (const Capsule& part : arm.parts(t_s)) {
      const Approach near = approach(part, {eye, line / depth_m});
      if (near.distance_m < part.radius_m && near.t_m < depth_m) return 0;
    }
  }
  const bool behind_net = depth_m > back.net_depth_m(v, u);
  return behind_net ? 1 - Hall::kMesh * back.net_cover(v, u) : 1;
}

}  // namespace evenfeed
