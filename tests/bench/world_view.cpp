// SPDX-License-Identifier: MIT
#include "bench/world_view.h"

#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "simulate/film.h"

#include <algorithm>
#include <cmath>

#include <opencv2/core/mat.hpp>

namespace evenfeed {
namespace {

double corner_error_m(const CameraModel& solved,
                      const CameraModel& truth,
                      const Surface& surface) {
  double worst_m = 0;
  for (const double x_m : {-surface.length_m / 2, surface.length_m / 2}) {
    for (const double y_m : {-surface.width_m / 2, surface.width_m / 2}) {
      const auto seen = truth.project({x_m, y_m, 0});
      if (!seen || !truth.in_picture(*seen, 0)) continue;
      const auto there = solved.meet_plane(*seen, 0);
      if (!there) return 1e3;
      worst_m = std::max(worst_m,
                         (there->head<2>() - Eigen::Vector2d(x_m, y_m)).norm());
    }
  }
  return worst_m;
}

// Where the launcher stands, seen in the picture.
LauncherEnd launcher_end(const CameraModel& camera, const Surface& surface) {
  const auto near = camera.project({0.4, 0, 0});
  const auto far = camera.project({surface.length_m / 2, 0, 0});
  if (!near || !far) return LauncherEnd::kNotSaid;
  const Eigen::Vector2d way = *near - *far;
  if (std::abs(way.x()) > std::abs(way.y())) {
    return way.x() < 0 ? LauncherEnd::kLeft : LauncherEnd::kRight;
  }
  return way.y() < 0 ? LauncherEnd::kTop : LauncherEnd::kBottom;
}

Eigen::Vector3d eye_of(const CameraModel& camera) {
  return camera.camera_from_table.inverse().translation_m;
}

}  // namespace

ViewScore calibrate_world(const RandomWorld& world) {
  const YuvPicture hall = render_background(world.scene, world.seed);
  const cv::Mat grey(hall.height_px,
                     hall.width_px,
                     CV_8U,
                     const_cast<std::uint8_t*>(hall.y.data()));
  const CameraModel& truth = world.scene.camera.model;
  CalibrationOptions options;
  options.limits = world.profile.calibration;
  options.launcher_end = launcher_end(truth, world.profile.surface);
  const CalibrationResult found =
      calibrate_still(grey, world.profile.surface, options);
  ViewScore score;
  if (!found.done()) {
    score.said = found.message;
    return score;
  }
  const CameraModel& solved = found.bench.camera;
  score.worst_corner_m = corner_error_m(solved, truth, world.profile.surface);
  score.focal_sigmas =
      (solved.lens.focal_px - truth.lens.focal_px) / found.focal_sd_px;
  score.eye_sigmas = (eye_of(solved) - eye_of(truth))
                         .cwiseQuotient(found.eye_sd_m)
                         .cwiseAbs()
                         .maxCoeff();
  constexpr double kRight_m = 0.01, kRough_m = 0.05;
  score.kind = score.worst_corner_m < kRight_m   ? ViewScore::Kind::kRight
               : score.worst_corner_m < kRough_m ? ViewScore::Kind::kRough
                                                 : ViewScore::Kind::kWrong;
  return score;
}

}  // namespace evenfeed
