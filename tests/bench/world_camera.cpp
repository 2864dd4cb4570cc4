// SPDX-License-Identifier: MIT
#include "bench/world_camera.h"

#include "base/units.h"
#include "bench/draws.h"
#include "stats/covariance_root.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include <Eigen/LU>

namespace evenfeed {
namespace {

constexpr double kNearest_m = 1.2;
constexpr double kFurthest_m = 7;

struct Size {
  int width_px, height_px;
};
constexpr Size kSizes[] = {
    {854, 480}, {1280, 720}, {1920, 1080}, {2704, 1520}, {3840, 2160}};
constexpr double kRates[] = {25, 30, 50, 60, 100, 120, 240};

// Places that must be in the picture: the receiving half and the air above it;
// sometimes all the way to the launcher.
std::vector<Eigen::Vector3d> must_see(const Surface& surface, bool launcher) {
  std::vector<Eigen::Vector3d> places;
  const double end = surface.length_m / 2;
  const double side = surface.width_m / 2;
  for (const double x : {launcher ? -1.6 : 0., end}) {
    for (const double y : {-side, side}) {
      for (const double z : {0., 0.25}) places.emplace_back(x, y, z);
    }
  }
  return places;
}

// All places in the picture, where the distortion is still far from turning.
bool sees(const CameraModel& camera,
          const std::vector<Eigen::Vector3d>& places,
          double margin_px) {
  return std::all_of(places.begin(), places.end(), [&](const auto& place) {
    const auto point = camera.project(place);
    if (!point || !camera.in_picture(*point, margin_px)) return false;
    const Eigen::Vector3d c = camera.camera_from_table * place;
    const double r2 = (c.head<2>() / c.z()).squaredNorm();
    return 1 + 3 * camera.lens.k1 * r2 > 0.3;
  });
}

// No lens whose picture folds back on itself within its corners is sold:
// seen distance from the axis must still grow there.
bool folds(const CameraModel& model) {
  constexpr double kLeastSlope = 0.1;  // of seen over true distance
  if (model.lens.k1 >= 0) return false;
  const double true_slope = std::sqrt((1 - kLeastSlope) / (-3 * model.lens.k1));
  const double seen_slope = true_slope * (2 + kLeastSlope) / 3;
  const double corner_px =
      std::hypot(model.lens.centre_u_px, model.lens.centre_v_px);
  return corner_px > seen_slope * model.lens.focal_px;
}

void draw_sensor(SceneCamera& camera, Draws& draws) {
  CameraModel& model = camera.model;
  Size size = draws.one_of(kSizes);
  do {
    camera.fps = draws.one_of(kRates);
  } while (camera.fps * size.height_px > 130000);
  if (draws.chance(0.2)) std::swap(size.width_px, size.height_px);
  model.width_px = size.width_px;
  model.height_px = size.height_px;
  const double frame_s = 1 / camera.fps;
  model.exposure_s = draws.log_even(0.0005, std::min(0.012, 0.9 * frame_s));
  const double longest_s = std::min(0.025, 0.95 * frame_s);
  model.readout_s = draws.chance(0.25) ? 0 : draws.even(0, longest_s);
}

void draw_lens(CameraModel& model, Draws& draws) {
  const double longer = std::max(model.width_px, model.height_px);
  const double view_rad = rad_from_deg(draws.even(45, 100));
  model.lens.focal_px = longer / 2 / std::tan(view_rad / 2);
  model.lens.centre_u_px = (model.width_px - 1) / 2.0;
  model.lens.centre_v_px = (model.height_px - 1) / 2.0;
  model.lens.k1 = draws.even(-0.35, 0.05);
}

}  // namespace

WorldView draw_view(std::uint64_t seed, const Surface& surface) {
  Draws draws(seed, "world camera");
  WorldView view;
  CameraModel& model = view.camera.model;
  draw_sensor(view.camera, draws);
  while (true) {
    do {
      draw_lens(model, draws);
    } while (folds(model));
    view.elevation_deg =
        draws.chance(0.15) ? draws.even(85, 90) : draws.even(20, 90);
    view.azimuth_deg = draws.even(-180, 180);
    const double el = rad_from_deg(view.elevation_deg);
    const double az = rad_from_deg(view.azimuth_deg);
    const bool launcher = draws.chance(0.5);
    const Eigen::Vector3d target{
        launcher ? draws.even(-0.3, 0.3) : draws.even(0.5, 0.9),
        draws.even(-0.2, 0.2),
        0};
    const Eigen::Vector3d from{
        std::cos(el) * std::cos(az), std::cos(el) * std::sin(az), std::sin(el)};
    // Upright, or any way round when it looks straight down.
    const double roll_deg =
        view.elevation_deg > 80 ? draws.even(-180, 180) : draws.normal(6);
    const Eigen::Vector3d up{-std::cos(az), -std::sin(az), 0.5};
    const auto places = must_see(surface, launcher);
    const double margin_px =
        draws.even(0.02, 0.12) * std::min(model.width_px, model.height_px);
    for (double d = kNearest_m; d < kFurthest_m; d += 0.05) {
      const Eigen::Vector3d eye = target + d * from;
      if (eye.z() < 0.6) continue;
      model.camera_from_table =
          look_at(eye, target, up, rad_from_deg(roll_deg));
      if (sees(model, places, margin_px)) return view;
    }
  }
}

Bench calibrated(const CameraModel& truth,
                 const Surface& surface,
                 double landmark_px,
                 std::uint64_t seed) {
  // What is believed of a camera before a landmark was seen.
  CameraCovariance information = CameraCovariance::Zero();
  const double believed[kCameraParameters] = {
      0.02 * truth.lens.focal_px, 0.05, 0.01, 0.05, 0.05, 0.05, 0.1, 0.1, 0.1};
  for (int i = 0; i < kCameraParameters; ++i) {
    information(i, i) = 1 / (believed[i] * believed[i]);
  }
  Bench bench;
  for (const Landmark& mark : surface.landmarks()) {
    const auto point = truth.project(mark.x_in_table_m);
    if (!point || !truth.in_picture(*point, 3)) continue;
    Eigen::Matrix<double, 2, kCameraParameters> slope;
    for (int i = 0; i < kCameraParameters; ++i) {
      Eigen::Matrix<double, kCameraParameters, 1> step;
      step.setZero();
      step[i] = 1e-4 * believed[i];
      const auto near = moved_camera(truth, step).project(mark.x_in_table_m);
      slope.col(i) = (near.value_or(*point) - *point) / step[i];
    }
    information += slope.transpose() * slope / (landmark_px * landmark_px);
    ++bench.landmarks;
  }
  // Inverted in units of what is believed, so that it is well conditioned.
  const Eigen::Map<const Eigen::Matrix<double, kCameraParameters, 1>> unit(
      believed);
  const CameraCovariance scaled =
      unit.asDiagonal() * information * unit.asDiagonal();
  const CameraCovariance root =
      covariance_root((scaled.inverse() + scaled.inverse().transpose()) / 2);
  const CameraCovariance in_units = unit.asDiagonal() * root;
  bench.covariance = in_units * in_units.transpose();
  Draws draws(seed, "world calibration");
  Eigen::Matrix<double, kCameraParameters, 1> normal;
  for (double& one : normal) one = draws.normal();
  bench.camera = moved_camera(truth, in_units * normal);
  bench.surface_name = surface.name;
  bench.residual_px = landmark_px;
  return bench;
}

void tell_shutter(CameraModel& bench,
                  const CameraModel& truth,
                  bool readout_known,
                  bool exposure_known) {
  bench.exposure_s = exposure_known ? truth.exposure_s : std::nullopt;
  bench.readout_s = readout_known ? truth.readout_s : std::nullopt;
}

}  // namespace evenfeed
