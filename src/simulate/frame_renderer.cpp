// SPDX-License-Identifier: MIT
#include "simulate/frame_renderer.h"

#include "base/check.h"
#include "simulate/arm.h"
#include "simulate/ball_shadow.h"
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

namespace {

Scene after_bumps(Scene scene, std::size_t bumps) {
  scene.camera.model = bumped_camera(scene.camera, bumps);
  return scene;
}

// What is drawn while the camera stands still.
struct Stage {
  Stage(const Scene& whole,
        std::size_t bumps_before,
        const Hall& hall_in,
        const Sensor& sensor_in)
      : bumps(bumps_before),
        scene(after_bumps(whole, bumps)),
        hall(hall_in),
        sensor(sensor_in),
        backdrop(draw_backdrop(scene, hall)),
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

  void draw(double t_frame_s,
            const std::vector<TrueBall>& balls,
            const std::vector<ArmVisit>& arms) {
    Canvas canvas{scene, hall, backdrop, light, {}, {}};
    const double until_s = t_frame_s + scene.camera.model.exposure_or_zero_s() +
                           scene.camera.model.readout_or_zero_s();
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

  const std::size_t bumps;
  const Scene scene;
  const Hall& hall;
  const Sensor& sensor;
  const Backdrop backdrop;
  cv::Mat3f light;
  FinePlanes still;
  FinePlanes planes;
  std::vector<cv::Rect> changed;
};

}  // namespace

struct FrameRenderer::Impl {
  Impl(const Scene& scene_in, std::uint64_t seed)
      : scene(scene_in),
        hall(scene),
        sensor(scene, seed),
        times_s(frame_times(scene, seed)),
        balls(true_balls(scene, seed)),
        arms(arm_visits(scene, seed)) {}

  // Kept until another is asked for: a film is drawn frame after frame.
  Stage& stage(double t_frame_s) {
    const std::size_t bumps = bumps_until(scene.camera, t_frame_s);
    if (!current || current->bumps != bumps) {
      current = std::make_unique<Stage>(scene, bumps, hall, sensor);
    }
    return *current;
  }

  const Scene scene;
  const Hall hall;
  const Sensor sensor;
  const std::vector<double> times_s;
  const std::vector<TrueBall> balls;
  const std::vector<ArmVisit> arms;
  std::unique_ptr<Stage> current;
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

CameraModel FrameRenderer::camera(int frame) const {
  const SceneCamera& camera = impl_->scene.camera;
  return bumped_camera(camera, bumps_until(camera, impl_->times_s.at(frame)));
}

YuvPicture FrameRenderer::render(int frame) {
  require(frame >= 0 && frame < static_cast<int>(impl_->times_s.size()),
          "render: no such frame");
  const double t_s = impl_->times_s[frame];
  Stage& stage = impl_->stage(t_s);
  stage.restore();
  stage.draw(t_s, impl_->balls, impl_->arms);
  return impl_->sensor.develop(
      stage.planes, t_s, static_cast<std::uint64_t>(frame));
}

YuvPicture FrameRenderer::render_empty() {
  return impl_->sensor.develop(impl_->stage(0).still, 0, 0);
}

double FrameRenderer::seen_part(const BallSight& sight, int frame) const {
  const Stage& stage = impl_->stage(impl_->times_s[frame]);
  const CameraModel& camera = stage.scene.camera.model;
  if (!camera.in_picture(sight.centre_px)) return 0;
  const int u = static_cast<int>(std::lround(sight.centre_px.x()));
  const int v = static_cast<int>(std::lround(sight.centre_px.y()));
  const Backdrop& back = stage.backdrop;
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
