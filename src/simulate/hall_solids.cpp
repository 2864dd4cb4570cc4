// SPDX-License-Identifier: MIT
#include "simulate/hall_solids.h"

#include "simulate/ball_path.h"
#include "simulate/hall.h"

#include <cmath>

namespace evenfeed {
namespace {

constexpr Rgb kSteel{0.20, 0.20, 0.21};
constexpr Rgb kDark{0.035, 0.035, 0.04};
constexpr Rgb kCloth{0.03, 0.05, 0.09};

void add_table(const Scene& scene, std::vector<Box>& out) {
  const Surface& surface = scene.surface;
  if (surface.height_above_floor_m <= 0) return;
  const double half_x = surface.length_m / 2;
  const double half_y = surface.width_m / 2;
  const Rgb side{scene.look.table[0] * 0.6,
                 scene.look.table[1] * 0.6,
                 scene.look.table[2] * 0.6};
  // The top's own face is the playing surface; the board ends a hair below.
  out.push_back({{0, 0, -0.0125}, {half_x, half_y, 0.0124}, side});
  out.push_back({{0, 0, -0.055}, {half_x - 0.06, half_y - 0.06, 0.03}, kDark});
  const double leg = surface.height_above_floor_m / 2;
  for (const double x : {-0.62, 0.62}) {
    for (const double y : {-0.82, 0.82}) {
      out.push_back(
          {{x * half_x, y * half_y, -leg}, {0.025, 0.025, leg}, kSteel});
    }
  }
}

void add_net(const Surface& surface, std::vector<Box>& out) {
  const Net& net = surface.net;
  if (!net.present) return;
  constexpr double kPost_m = 0.011;
  constexpr double kTape_m = 0.015;
  for (const double side : {-1.0, 1.0}) {
    out.push_back({{net.x_m,
                    side * (net.half_width_m - kPost_m),
                    net.height_m / 2 - 0.02},
                   {kPost_m, kPost_m, net.height_m / 2 + 0.02},
                   kDark});
    const double edge = surface.width_m / 2;
    out.push_back({{net.x_m, side * (edge + net.half_width_m) / 2, -0.03},
                   {0.018, (net.half_width_m - edge) / 2, 0.012},
                   kDark});
  }
  out.push_back({{net.x_m, 0, net.height_m - kTape_m / 2},
                 {0.003, net.half_width_m - 2 * kPost_m, kTape_m / 2},
                 {0.80, 0.80, 0.78}});
}

void add_launcher(const Scene& scene, std::vector<Box>& out) {
  const Eigen::Vector3d& exit = scene.launcher.exit_m;
  const double floor_z = -scene.surface.height_above_floor_m;
  const double back = exit.x() - 0.28;
  out.push_back({{back, exit.y(), exit.z() - 0.02},
                 {0.11, 0.10, 0.10},
                 {0.10, 0.11, 0.12}});
  out.push_back({{back - 0.04, exit.y(), exit.z() + 0.13},
                 {0.10, 0.13, 0.05},
                 {0.32, 0.07, 0.04}});
  const double foot = (exit.z() - 0.12 - floor_z) / 2;
  out.push_back({{back, exit.y(), floor_z + foot}, {0.03, 0.03, foot}, kSteel});
}

void add_sample(const Scene& scene, std::vector<Box>& out) {
  const SampleOptions& sample = scene.sample;
  if (!sample.present) return;
  constexpr double kHalf_m = 0.006;
  const Eigen::Vector3d face{sample.x_m, 0, sample.z_m};
  const Eigen::Vector3d normal = sample_normal(sample);
  out.push_back({face - kHalf_m * normal,
                 {kHalf_m, sample.width_m / 2, sample.height_m / 2},
                 scene.look.sample,
                 sample.tilt_rad});
  // The clamp's arm and stand behind it.
  const double floor_z = -scene.surface.height_above_floor_m;
  const double stand_x = sample.x_m + 0.16;
  const double top = sample.z_m - 0.02;
  out.push_back(
      {{sample.x_m + 0.09, 0, sample.z_m - 0.03}, {0.075, 0.02, 0.02}, kSteel});
  out.push_back({{stand_x, 0, (top + floor_z) / 2},
                 {0.03, 0.03, (top - floor_z) / 2},
                 kSteel});
}

void add_catch_box(const Scene& scene, std::vector<Box>& out) {
  if (!scene.look.catch_box) return;
  const double x = scene.surface.length_m / 2 + 0.80;
  const double floor_z = -scene.surface.height_above_floor_m;
  out.push_back(
      {{x, 0, (floor_z + 0.1) / 2}, {0.03, 0.85, (0.1 - floor_z) / 2}, kCloth});
}

void add_barriers(const Scene& scene, std::vector<Box>& out) {
  if (!scene.look.barriers) return;
  const double floor_z = -scene.surface.height_above_floor_m;
  const double y = scene.surface.width_m / 2 + 1.15;
  for (const double x : {-2.2, -0.75, 0.7, 2.15}) {
    for (const double side : {-1.0, 1.0}) {
      out.push_back({{x, side * y, floor_z + 0.35},
                     {0.70, 0.012, 0.35},
                     {0.02, 0.06, 0.16}});
    }
  }
}

}  // namespace

std::vector<Box> hall_boxes(const Scene& scene) {
  std::vector<Box> boxes;
  add_table(scene, boxes);
  add_net(scene.surface, boxes);
  add_launcher(scene, boxes);
  add_sample(scene, boxes);
  add_catch_box(scene, boxes);
  add_barriers(scene, boxes);
  return boxes;
}

std::vector<Capsule> hall_capsules(const Scene& scene) {
  std::vector<Capsule> capsules;
  // The launcher's tube; the ball leaves at its mouth.
  const LauncherOptions& launcher = scene.launcher;
  const double ce = std::cos(launcher.elevation_rad.mean);
  const double se = std::sin(launcher.elevation_rad.mean);
  const Eigen::Vector3d along{ce * std::cos(launcher.heading_rad.mean),
                              ce * std::sin(launcher.heading_rad.mean),
                              se};
  capsules.push_back({launcher.exit_m - 0.24 * along,
                      launcher.exit_m - 0.062 * along,
                      0.034,
                      {0.16, 0.16, 0.17}});
  // People beside the table, at the near corners first.
  const double floor_z = -scene.surface.height_above_floor_m;
  const double y = scene.surface.width_m / 2 + 0.62;
  const std::vector<Eigen::Vector2d> places{{-1.5, y},
                                            {-1.9, -y - 0.1},
                                            {0.4, y + 0.3},
                                            {1.9, y},
                                            {1.2, -y - 0.5},
                                            {-0.3, -y - 0.4}};
  const std::vector<Rgb> shirts{{0.35, 0.05, 0.05},
                                {0.5, 0.5, 0.48},
                                {0.05, 0.2, 0.08},
                                {0.03, 0.03, 0.2},
                                {0.4, 0.3, 0.05},
                                {0.1, 0.1, 0.1}};
  const Rgb skin{0.42, 0.25, 0.17};
  for (int i = 0; i < scene.look.people; ++i) {
    const double px = places[i].x();
    const double py = places[i].y();
    const auto at = [&](double dx, double dy, double height) {
      return Eigen::Vector3d{px + dx, py + dy, floor_z + height};
    };
    capsules.push_back({at(-.1, 0, .1), at(-.1, 0, .85), .09, kDark});
    capsules.push_back({at(.1, 0, .1), at(.1, 0, .85), .09, kDark});
    capsules.push_back({at(0, 0, .95), at(0, 0, 1.35), .17, shirts[i]});
    capsules.push_back({at(-.22, 0, 1.4), at(-.26, 0, .95), .05, skin});
    capsules.push_back({at(.22, 0, 1.4), at(.26, 0, .95), .05, skin});
    capsules.push_back({at(0, 0, 1.68), at(0, 0, 1.72), .105, skin});
  }
  return capsules;
}

}  // namespace evenfeed
