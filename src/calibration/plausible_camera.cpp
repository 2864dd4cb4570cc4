// SPDX-License-Identifier: MIT
#include "calibration/plausible_camera.h"

#include "base/check.h"
#include "base/units.h"
#include "calibration/calibration.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace evenfeed {
namespace {

constexpr char kSayMore[] =
    "Say --camera-height or give --lens, mark points by hand (--mark), or "
    "move the camera so that the whole surface is well in the picture";

double view_rad(const CameraModel& camera) {
  return 2 * std::atan(camera.width_px / 2.0 / camera.lens.focal_px);
}

// What the lens bends outward at the picture's edge, as part of the distance
// from the centre: all of it, or the second term alone.
double outward_bend(const CameraModel& camera) {
  const double r = camera.width_px / 2.0 / camera.lens.focal_px;
  return r * r * (camera.lens.k1 + r * r * camera.lens.k2);
}
double second_bend(const CameraModel& camera) {
  const double r = camera.width_px / 2.0 / camera.lens.focal_px;
  return std::pow(r, 4) * camera.lens.k2;
}

// The largest sd, over the receiving half as far as the picture shows it, of
// where a line of sight meets the surface.
double worst_landing_sd_m(const CameraModel& camera,
                          const CameraCovariance& covariance,
                          const Surface& surface) {
  double worst = 0;
  for (const double x : {0.1, 0.25, 0.4}) {
    for (const double y : {-0.4, 0.0, 0.4}) {
      const Eigen::Vector3d at(x * surface.length_m, y * surface.width_m, 0);
      const auto seen = camera.project(at);
      if (!seen || !camera.in_picture(*seen)) continue;
      Eigen::Matrix<double, 2, kCameraParameters> slope;
      for (int i = 0; i < kCameraParameters; ++i) {
        Eigen::Matrix<double, kCameraParameters, 1> step;
        step.setZero();
        step[i] = 1e-5;
        const auto meets = moved_camera(camera, step).meet_plane(*seen, 0);
        if (!meets) return std::numeric_limits<double>::infinity();
        slope.col(i) = (*meets - at).head<2>() / step[i];
      }
      const Eigen::Matrix2d spread = slope * covariance * slope.transpose();
      worst = std::max(worst,
                       std::sqrt(std::max(spread.diagonal().maxCoeff(), 0.0)));
    }
  }
  return worst;
}

std::string impossible(const CameraModel& camera,
                       const PlausibleCamera& bounds) {
  const double view = view_rad(camera);
  if (view > bounds.widest_view_rad || view < bounds.narrowest_view_rad) {
    return fmt::format(
        "the lens would show {:.0f} degrees across the picture, allowed {:.0f} "
        "to {:.0f}",
        deg_from_rad(view),
        deg_from_rad(bounds.narrowest_view_rad),
        deg_from_rad(bounds.widest_view_rad));
  }
  const double bend = outward_bend(camera);
  if (bend > bounds.most_outward_bend) {
    return fmt::format(
        "the lens would bend outward by {:.0f} % at the picture's edge, "
        "allowed {:.0f} %",
        100 * bend,
        100 * bounds.most_outward_bend);
  }
  if (-second_bend(camera) > bounds.most_steepening) {
    return fmt::format(
        "the lens would bend inward ever more steeply, by {:.0f} % of r^4 at "
        "the picture's edge, allowed {:.0f} %",
        -100 * second_bend(camera),
        100 * bounds.most_steepening);
  }
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  if (eye.z() < bounds.lowest_eye_m || eye.z() > bounds.highest_eye_m ||
      eye.norm() > bounds.farthest_eye_m) {
    return fmt::format(
        "the camera would stand {:.0f} mm above the surface and {:.1f} m from "
        "its middle, allowed {:.0f} to {:.0f} mm and at most {:.0f} m",
        mm_from_m(eye.z()),
        eye.norm(),
        mm_from_m(bounds.lowest_eye_m),
        mm_from_m(bounds.highest_eye_m),
        bounds.farthest_eye_m);
  }
  return {};
}

std::string too_uncertain(const CameraModel& camera,
                          const CameraCovariance& marginal,
                          const CameraCovariance& covariance,
                          const Surface& surface,
                          const PlausibleCamera& bounds) {
  const double eye_sd_m = std::sqrt(
      std::max(eye_covariance_m2(camera, marginal).diagonal().maxCoeff(), 0.0));
  const double away_m = camera.eye_in_table_m().norm();
  if (!(eye_sd_m <= bounds.eye_sd * away_m)) {
    return fmt::format(
        "where the camera stands is known to {:.0f} mm only, {:.0f} % of its "
        "distance, allowed {:.0f} %",
        mm_from_m(eye_sd_m),
        100 * eye_sd_m / away_m,
        100 * bounds.eye_sd);
  }
  const double focal_sd =
      std::sqrt(std::max(marginal(0, 0), 0.0)) / camera.lens.focal_px;
  if (!(focal_sd <= bounds.focal_sd)) {
    return fmt::format(
        "the focal length is known to {:.0f} % only, allowed {:.0f} %",
        100 * focal_sd,
        100 * bounds.focal_sd);
  }
  const double landing_m = worst_landing_sd_m(camera, covariance, surface);
  if (!(landing_m <= bounds.landing_sd_m)) {
    return fmt::format(
        "a landing on the receiving half would be known to {:.0f} mm only, "
        "allowed {:.0f} mm",
        mm_from_m(landing_m),
        mm_from_m(bounds.landing_sd_m));
  }
  return {};
}

}  // namespace

void PlausibleCamera::check() const {
  require_in_range(widest_view_rad, 0.1, 3, "widest_view_rad");
  require_in_range(
      narrowest_view_rad, 0.001, widest_view_rad, "narrowest_view_rad");
  require_in_range(most_outward_bend, 0.01, 1, "most_outward_bend");
  require_in_range(most_steepening, 0.01, 1, "most_steepening");
  require_positive(lowest_eye_m, "lowest_eye_m");
  require_positive(highest_eye_m - lowest_eye_m,
                   "highest_eye_m over the lowest");
  require_positive(farthest_eye_m, "farthest_eye_m");
  require_positive(eye_sd, "eye_sd");
  require_positive(focal_sd, "focal_sd");
  require_positive(landing_sd_m, "landing_sd_m");
}

PlausibleCamera when_surely_read() {
  constexpr double kWider = 2;
  PlausibleCamera bounds;
  bounds.eye_sd *= kWider;
  bounds.focal_sd *= kWider;
  return bounds;
}

std::string why_implausible(const CameraModel& camera,
                            const CameraCovariance& marginal,
                            const CameraCovariance& covariance,
                            const Surface& surface,
                            const PlausibleCamera& bounds) {
  bounds.check();
  std::string why = impossible(camera, bounds);
  if (why.empty()) {
    why = too_uncertain(camera, marginal, covariance, surface, bounds);
  }
  return why.empty() ? why : why + ". " + kSayMore;
}

Eigen::Matrix3d eye_covariance_m2(const CameraModel& camera,
                                  const CameraCovariance& covariance) {
  constexpr double kStep = 1e-5;
  Eigen::Matrix<double, 3, kCameraParameters> jacobian;
  for (int i = 0; i < kCameraParameters; ++i) {
    Eigen::Matrix<double, kCameraParameters, 1> delta;
    delta.setZero();
    delta[i] = kStep;
    jacobian.col(i) = (moved_camera(camera, delta).eye_in_table_m() -
                       moved_camera(camera, -delta).eye_in_table_m()) /
                      (2 * kStep);
  }
  return jacobian * covariance * jacobian.transpose();
}

}  // namespace evenfeed
