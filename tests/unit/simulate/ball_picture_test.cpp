// SPDX-License-Identifier: MIT
#include "simulate/ball_picture.h"

#include "simulate/ball_shadow.h"
#include "simulate/frame_renderer.h"

#include <cmath>

#include "test_scene.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// The hall is the same in every case here: drawn once.
const Backdrop& shared_backdrop() {
  static const Scene scene = plain_scene();
  static const Backdrop backdrop = draw_backdrop(scene, Hall(scene));
  return backdrop;
}

// One ball over the table, drawn into a picture that is otherwise dark.
struct Drawn {
  Eigen::Vector2d centroid_px = Eigen::Vector2d::Zero();
  double area_px = 0;
  BallSight sight;
};

Drawn drawn(const Scene& scene,
            const Eigen::Vector3d& x_m,
            const Eigen::Vector3d& v_mps) {
  const Hall hall(scene);
  const Backdrop& backdrop = shared_backdrop();
  cv::Mat3f light = cv::Mat3f::zeros(backdrop.light.size());
  Canvas canvas{scene, hall, backdrop, light, {}, {}};
  const World world = world_of(scene);
  MovingBall state;
  state.v_mps = v_mps;
  state.x_m = x_m - 0.010 * v_mps;
  const BallPath path = trace_ball(world, state, 0, 0.1);
  draw_ball(canvas, path, 0.008);
  Drawn result;
  const auto sight = see_ball(scene, path, 0.008);
  REQUIRE(sight);
  result.sight = *sight;
  double sum = 0;
  for (int v = 0; v < light.rows; ++v) {
    for (int u = 0; u < light.cols; ++u) {
      const double w = light(v, u)[1];
      sum += w;
      result.centroid_px += w * Eigen::Vector2d(u, v);
    }
  }
  REQUIRE(sum > 1);
  result.centroid_px /= sum;
  result.area_px = sum / scene.look.ball[1];
  return result;
}

}  // namespace

TEST_CASE("the drawn ball's middle is where the truth says") {
  Scene scene = plain_scene();
  int cases = 0;
  for (const double readout_s : {0.0, 0.008}) {
    scene.camera.model.readout_s = readout_s;
    for (const Eigen::Vector3d& x : {Eigen::Vector3d(0.7, 0.1, 0.2),
                                     Eigen::Vector3d(-0.6, -0.4, 0.35),
                                     Eigen::Vector3d(1.1, 0.5, 0.05)}) {
      const Drawn ball = drawn(scene, x, {6, 0.5, -1});
      CAPTURE(x.transpose());
      CHECK((ball.centroid_px - ball.sight.centre_px).norm() < 0.05);
      ++cases;
    }
  }
  CHECK(cases == 6);
}

TEST_CASE("a ball at rest covers the disc of its diameter") {
  const Scene scene = plain_scene();
  const Drawn ball = drawn(scene, {0.3, 0, 0.3}, {0.01, 0, 0});
  const double diameter = ball.sight.diameter_px;
  CHECK(diameter > 8);
  CHECK(ball.area_px ==
        doctest::Approx(0.785398 * diameter * diameter).epsilon(0.02));
}

TEST_CASE("the rolling shutter shifts a moving ball as its row's time says") {
  Scene scene = plain_scene();
  const Eigen::Vector3d x{0.7, 0.1, 0.2};
  const Eigen::Vector3d v{6, 0, 0};
  const Drawn global = drawn(scene, x, v);
  scene.camera.model.readout_s = 0.012;
  const Drawn rolling = drawn(scene, x, v);
  const double later_s = rolling.sight.t_s - global.sight.t_s;
  CHECK(
      later_s ==
      doctest::Approx(0.012 * rolling.sight.centre_px.y() / 480).epsilon(1e-6));
  CHECK((rolling.centroid_px - global.centroid_px).norm() > 5);
}

TEST_CASE("shading moves the middle by less than a tenth of the diameter") {
  Scene scene = plain_scene();
  scene.look.ball_shading = 1;
  const Drawn ball = drawn(scene, {0.7, 0.1, 0.2}, {0.01, 0, 0});
  const double shift = (ball.centroid_px - ball.sight.centre_px).norm();
  CHECK(shift > 0.01);
  CHECK(shift < 0.1 * ball.sight.diameter_px);
}

TEST_CASE("under the table's edge the ball is hidden") {
  const Scene scene = halved(plain_scene());
  FrameRenderer renderer(scene, 1);
  BallSight sight;
  sight.state.x_m = {0.3, 0.2, -0.4};
  sight.centre_px = *scene.camera.model.project(sight.state.x_m);
  CHECK(renderer.seen_part(sight, 0) == 0);
  sight.state.x_m.z() = 0.1;
  sight.centre_px = *scene.camera.model.project(sight.state.x_m);
  CHECK(renderer.seen_part(sight, 0) == 1);
}

TEST_CASE("the shadow lies opposite the lamp and touches a ball at rest") {
  Scene scene = plain_scene();
  const Hall hall(scene);
  const Backdrop& backdrop = shared_backdrop();
  cv::Mat3f light = backdrop.light.clone();
  Canvas canvas{scene, hall, backdrop, light, {}, {}};
  MovingBall state;
  state.x_m = {0.6, -0.1, 0.25};
  const BallPath path = trace_ball(world_of(scene), state, 0, 0.05);
  const auto changed = draw_ball_shadow(canvas, path, 0);
  REQUIRE(!changed.empty());
  const Eigen::Vector3d lamp = scene.look.lamp_m;
  const Eigen::Vector3d ball = path.at(0.001)->x_m;
  const Eigen::Vector3d spot =
      lamp + lamp.z() / (lamp.z() - ball.z()) * (ball - lamp);
  const auto px = *scene.camera.model.project(spot);
  const int u = static_cast<int>(std::lround(px.x()));
  const int v = static_cast<int>(std::lround(px.y()));
  CHECK(light(v, u)[2] < 0.75f * backdrop.light(v, u)[2]);
  CHECK(light(v, u + 40)[2] == backdrop.light(v, u + 40)[2]);
}
