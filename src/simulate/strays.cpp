// SPDX-License-Identifier: MIT
#include "simulate/strays.h"

#include "base/random.h"

namespace evenfeed {
namespace {

constexpr double kAfterLastFeed_s = 1.6;
constexpr double kStrayLife_s = 5;

double uniform(RandomEngine& engine, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(engine);
}

// Comes in over a side line in a low hop and rolls off at the other side.
MovingBall table_stray(const Scene& scene, RandomEngine& engine) {
  const double side = uniform(engine, 0, 1) < 0.5 ? -1 : 1;
  MovingBall ball;
  ball.x_m = {uniform(engine, -0.8, 1.0) * scene.surface.length_m / 2,
              side * (scene.surface.width_m / 2 + 0.40),
              0.35};
  ball.v_mps = {
      uniform(engine, -0.6, 0.6), -side * uniform(engine, 1.7, 2.5), 0.8};
  return ball;
}

MovingBall floor_stray(const Scene& scene, RandomEngine& engine) {
  const double side = uniform(engine, 0, 1) < 0.5 ? -1 : 1;
  const double floor_z = -scene.surface.height_above_floor_m;
  MovingBall ball;
  ball.x_m = {uniform(engine, -1.8, 1.8),
              side * (scene.surface.width_m / 2 + 1.9),
              floor_z + scene.ball.radius_m + 0.01};
  ball.v_mps = {
      uniform(engine, -0.5, 0.5), -side * uniform(engine, 1.0, 1.8), 0};
  return ball;
}

}  // namespace

double film_duration_s(const Scene& scene) {
  if (scene.film.duration_s > 0) return scene.film.duration_s;
  const LauncherOptions& launcher = scene.launcher;
  const int gaps = launcher.feeds > 0 ? launcher.feeds - 1 : 0;
  return launcher.first_s + gaps * launcher.interval_s.mean + kAfterLastFeed_s;
}

std::vector<TrueBall> stray_balls(const Scene& scene, std::uint64_t seed) {
  const World world = world_of(scene);
  const double duration_s = film_duration_s(scene);
  std::vector<TrueBall> balls;
  const auto add = [&](int count, BallKind kind, auto&& make) {
    for (int i = 0; i < count; ++i) {
      RandomEngine engine = derived_engine(
          seed,
          kind == BallKind::kTableStray ? "table stray" : "floor stray",
          static_cast<std::uint64_t>(i));
      const double start_s =
          (i + uniform(engine, 0.1, 0.9)) * duration_s / count;
      balls.push_back(
          {0,
           kind,
           trace_ball(world, make(scene, engine), start_s, kStrayLife_s)});
    }
  };
  add(scene.nuisance.table_strays, BallKind::kTableStray, table_stray);
  add(scene.nuisance.floor_strays, BallKind::kFloorStray, floor_stray);
  return balls;
}

}  // namespace evenfeed
