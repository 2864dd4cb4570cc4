// SPDX-License-Identifier: MIT
#include "flight/mirror_image.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

namespace evenfeed {
namespace {

constexpr double kLowest_m = 0.02, kHighest_m = 1.2;  // of balls over a table

// Of a line and the mirrored other one, which leaves from below the surface:
// where they are nearest to each other, halfway.
std::optional<Eigen::Vector3d> meeting_m(const Eigen::Vector3d& eye_m,
                                         const Eigen::Vector3d& ray,
                                         const Eigen::Vector3d& other_ray) {
  const Eigen::Vector3d below_m = mirrored(eye_m);
  const Eigen::Vector3d risen = mirrored(other_ray);
  Eigen::Matrix<double, 3, 2> lines;
  lines << ray, -risen;
  const Eigen::Vector2d along =
      lines.colPivHouseholderQr().solve(below_m - eye_m);
  if (!(along.minCoeff() > 0)) return std::nullopt;
  return (eye_m + along[0] * ray + below_m + along[1] * risen) / 2;
}

// Where it is seen in the surface.
Eigen::Vector2d reflected_at_m(const Eigen::Vector3d& eye_m,
                               const Eigen::Vector3d& at_m) {
  const double part = eye_m.z() / (eye_m.z() + at_m.z());
  return (eye_m + part * (mirrored(at_m) - eye_m)).head<2>();
}

}  // namespace

Eigen::Vector3d mirrored(Eigen::Vector3d in_table) {
  in_table.z() = -in_table.z();
  return in_table;
}

std::optional<BallWithImage> ball_with_image(const Sighting& ball,
                                             const Sighting& image,
                                             const CameraModel& camera,
                                             const Surface& surface) {
  constexpr double kSigmas = 4;
  constexpr double kLeast_px = 1, kNoise_px = 0.4;  // an image looks rough
  constexpr double kNoise_m = 0.003, kCamera_m = 0.01;
  constexpr double kFastest_mps = 15;  // rows that differ in time see it move
  const Eigen::Vector3d eye_m = camera.eye_in_table_m();
  const auto at_m = meeting_m(eye_m,
                              camera.ray_in_table(ball.centre_px),
                              camera.ray_in_table(image.centre_px));
  if (!at_m || at_m->z() < kLowest_m || at_m->z() > kHighest_m ||
      !surface.contains(reflected_at_m(eye_m, *at_m))) {
    return std::nullopt;
  }
  const auto ball_px = camera.project(*at_m);
  const auto image_px = camera.project(mirrored(*at_m));
  if (!ball_px || !image_px) return std::nullopt;
  BallWithImage both;
  both.at_m = *at_m;
  both.beside_px =
      (*ball_px - ball.centre_px).norm() + (*image_px - image.centre_px).norm();
  const double noise_px = std::hypot(ball.sigma_px, image.sigma_px);
  const double apart_px = (ball.centre_px - image.centre_px).norm();
  both.s_height_m = std::hypot(
      kNoise_m, at_m->z() * std::max(kNoise_px, noise_px) / apart_px);
  const double px_per_m = camera.px_per_m(*at_m);
  both.tolerance_px = kSigmas * std::max(kLeast_px, noise_px) +
                      kFastest_mps * std::abs(ball.t_s - image.t_s) * px_per_m;
  both.camera_px = kCamera_m * px_per_m;
  return both;
}

}  // namespace evenfeed
