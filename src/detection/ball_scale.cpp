// SPDX-License-Identifier: MIT
#include "detection/ball_scale.h"

#include "base/check.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace evenfeed {
namespace {

// Where balls are met: about the middle line of the table, low over it.
constexpr double kLikelyHeight_m = 0.15;
constexpr double kHeightSpread_m = 0.2;
constexpr double kAcrossSpread_m = 0.5;
constexpr double kUnknownExposureStreak = 8;  // in diameters

struct Likely {
  double distance_m = 0;  // from the eye
  double sd_m = 0;
};

// The likeliest place along a line of sight. One that is nearly level meets no
// height above the table within reach, but passes over its middle line.
Likely likely_along(const Eigen::Vector3d& eye_m,
                    const Eigen::Vector3d& ray,
                    double along_spread_m) {
  const Eigen::Array3d mean(0, 0, kLikelyHeight_m);
  const Eigen::Array3d sd(along_spread_m, kAcrossSpread_m, kHeightSpread_m);
  const Eigen::Array3d scaled = ray.array() / sd;
  const double weight = scaled.square().sum();
  return {(scaled * (mean - eye_m.array()) / sd).sum() / weight,
          1 / std::sqrt(weight)};
}

}  // namespace

BallScale::BallScale(const BallLimits& limits) : everywhere_(limits) {
  require(limits.least_diameter_px > 0 &&
              limits.least_diameter_px <= limits.most_diameter_px,
          "ball limits: 0 < least <= most diameter");
}

BallScale::BallScale(const CameraModel& camera,
                     double radius_m,
                     const BallSpace& space,
                     double most_speed_mps,
                     double tolerance)
    : camera_(camera),
      radius_m_(radius_m),
      space_(space),
      most_speed_mps_(most_speed_mps),
      tolerance_(tolerance) {
  constexpr int kSteps = 8;
  everywhere_ = at({camera.width_px / 2.0, camera.height_px / 2.0});
  for (int i = 0; i <= kSteps; ++i) {
    for (int j = 0; j <= kSteps; ++j) {
      const BallLimits here = at({camera.width_px * i / double(kSteps),
                                  camera.height_px * j / double(kSteps)});
      everywhere_.least_diameter_px =
          std::min(everywhere_.least_diameter_px, here.least_diameter_px);
      everywhere_.most_diameter_px =
          std::max(everywhere_.most_diameter_px, here.most_diameter_px);
    }
  }
}

// Across the line from the middle of the picture to the ball, where the depth
// alone decides.
double BallScale::diameter_px(const Eigen::Vector3d& x_in_table_m) const {
  const Eigen::Vector3d x_in_camera = camera_.camera_from_table * x_in_table_m;
  const double depth_m = std::max(x_in_camera.z(), 0.1);
  const double r2 = (x_in_camera.head<2>() / depth_m).squaredNorm();
  const double lens = 1 + r2 * (camera_.lens.k1 + r2 * camera_.lens.k2);
  return 2 * radius_m_ * camera_.lens.focal_px * lens / depth_m;
}

// A cone of half angle alpha around a line of sight theta off the axis meets
// the picture alpha / cos(theta) to either side, and alpha / cos(theta)^2
// towards and away from the middle, both stretched by the lens.
Eigen::Matrix2d BallScale::outline(const Eigen::Vector2d& point_px) const {
  if (radius_m_ <= 0) return Eigen::Matrix2d::Identity();
  const Eigen::Vector3d ray = ray_in_camera(point_px);
  const Eigen::Vector2d off = ray.head<2>();
  if (off.norm() < 1e-6) return Eigen::Matrix2d::Identity();
  const double r2 = off.squaredNorm() / (ray.z() * ray.z());
  const double k1 = camera_.lens.k1;
  const double k2 = camera_.lens.k2;
  const double across = 1 + r2 * (k1 + r2 * k2);
  const double outwards = 1 + r2 * (3 * k1 + r2 * 5 * k2);
  const double ratio = std::clamp(outwards / (across * ray.z()), 0.5, 4.0);
  const Eigen::Vector2d away = off.normalized();
  return Eigen::Matrix2d::Identity() -
         (1 - 1 / ratio) * away * away.transpose();
}

// The middle between the cone's inner and outer edge, through the lens.
Eigen::Vector2d BallScale::shift_px(const Eigen::Vector2d& point_px,
                                    double diameter_px) const {
  if (radius_m_ <= 0) return Eigen::Vector2d::Zero();
  const Eigen::Vector3d ray = ray_in_camera(point_px);
  const Eigen::Vector2d off = ray.head<2>();
  if (off.norm() < 1e-6) return Eigen::Vector2d::Zero();
  const double theta = std::atan2(off.norm(), ray.z());
  const double alpha =
      step_ * diameter_px / 2 / camera_.lens.focal_px * ray.z();
  const auto radius_px = [&](double angle) {
    const double r = std::tan(angle);
    const double r2 = r * r;
    return camera_.lens.focal_px * r *
           (1 + r2 * (camera_.lens.k1 + r2 * camera_.lens.k2));
  };
  return ((radius_px(theta + alpha) + radius_px(theta - alpha)) / 2 -
          radius_px(theta)) *
         off.normalized() / step_;
}

Eigen::Vector3d BallScale::ray_in_camera(
    const Eigen::Vector2d& point_px) const {
  if (radius_m_ <= 0) return Eigen::Vector3d::UnitZ();
  return camera_.camera_from_table.rotation *
         camera_.ray_in_table(in_picture(point_px));
}

BallScale BallScale::on_plane(double step, double origin_px) const {
  BallScale scale = *this;
  scale.step_ = step;
  scale.origin_px_ = origin_px;
  return scale;
}

BallLimits BallScale::at(const Eigen::Vector2d& point_px) const {
  BallLimits limits = in_picture_limits(in_picture(point_px));
  limits.least_diameter_px /= step_;
  limits.most_diameter_px /= step_;
  limits.likely_diameter_px /= step_;
  limits.most_streak_px /= step_;
  return limits;
}

// How far along the line of sight the space begins. A camera no higher than
// balls fly has them before it, larger than at any height above the table; one
// that looks past the space is answered as at its top.
double BallScale::entry_m(const Eigen::Vector3d& eye_m,
                          const Eigen::Vector3d& ray) const {
  constexpr double kNearest_m = 0.4;
  const Eigen::Vector3d most(
      space_.half_length_m, space_.half_width_m, space_.top_m);
  const Eigen::Vector3d least(-most.x(), -most.y(), 0);
  double enters_m = kNearest_m;
  double leaves_m = std::numeric_limits<double>::infinity();
  for (int i = 0; i < 3; ++i) {
    const double a = (least[i] - eye_m[i]) / ray[i];
    const double b = (most[i] - eye_m[i]) / ray[i];
    enters_m = std::fmax(enters_m, std::fmin(a, b));
    leaves_m = std::fmin(leaves_m, std::fmax(a, b));
  }
  if (enters_m < leaves_m) return enters_m;
  const double down_m = (space_.top_m - eye_m.z()) / ray.z();
  return down_m > kNearest_m ? down_m : kNearest_m;
}

BallLimits BallScale::in_picture_limits(const Eigen::Vector2d& point_px) const {
  if (radius_m_ <= 0) return everywhere_;
  const auto low = camera_.meet_plane(point_px, radius_m_);
  // A line of sight near the horizon runs over the far edge of the table.
  const Eigen::Vector3d eye = camera_.eye_in_table_m();
  const Eigen::Vector3d ray = camera_.ray_in_table(point_px);
  constexpr double kFarthest_m = 12;
  const auto kept = [&](const std::optional<Eigen::Vector3d>& point) {
    const bool usable = point && (*point - eye).norm() < kFarthest_m;
    return usable ? *point : Eigen::Vector3d(eye + kFarthest_m * ray);
  };
  const double small = diameter_px(kept(low));
  const double large =
      diameter_px(eye + std::min(kFarthest_m, entry_m(eye, ray)) * ray);
  BallLimits limits;
  limits.least_diameter_px = std::min(small, large) / (1 + tolerance_);
  limits.most_diameter_px = std::max(small, large) * (1 + tolerance_);
  const Likely likely = likely_along(eye, ray, space_.half_length_m);
  const double likely_m = std::clamp(
      likely.distance_m, std::min(kFarthest_m, entry_m(eye, ray)), kFarthest_m);
  limits.likely_diameter_px = diameter_px(eye + likely_m * ray);
  limits.likely_spread = likely.sd_m / likely_m;
  limits.most_streak_px =
      camera_.exposure_or_zero_s() > 0
          ? most_speed_mps_ * camera_.exposure_or_zero_s() / (2 * radius_m_) *
                limits.most_diameter_px
          : kUnknownExposureStreak * limits.most_diameter_px;
  return limits;
}

}  // namespace evenfeed
