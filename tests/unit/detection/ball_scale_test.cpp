// SPDX-License-Identifier: MIT
#include "detection/ball_scale.h"

#include "geometry/pose.h"

#include <cmath>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kRadius_m = 0.02;
const BallSpace kSpace{1.77, 1.06, 1.2};

CameraModel camera_with_eye(const Eigen::Vector3d& eye_m) {
  CameraModel camera;
  camera.width_px = 3840;
  camera.height_px = 2160;
  camera.lens = {1930, 1919.5, 1079.5, -0.05, 0};
  camera.camera_from_table = look_at(eye_m, {0.4, 0, 0}, {0, 0, 1});
  return camera;
}

// Of the places in the space that are in the picture, how many have a ball of
// the diameter that the distance gives.
void check_every_place(const CameraModel& camera) {
  const BallScale scale(camera, kRadius_m, kSpace, 25, 0.3);
  int looked = 0;
  for (double x_m = -1.7; x_m < 1.75; x_m += 0.1) {
    for (double y_m = -1; y_m < 1.05; y_m += 0.25) {
      for (double z_m = kRadius_m; z_m < 1.2; z_m += 0.1) {
        const Eigen::Vector3d centre_m(x_m, y_m, z_m);
        const double depth_m = (camera.camera_from_table * centre_m).z();
        const auto seen_px = camera.project(centre_m);
        if (depth_m < 0.5 || !seen_px || !camera.in_picture(*seen_px, 0)) {
          continue;
        }
        ++looked;
        CAPTURE(centre_m.transpose());
        const BallLimits limits = scale.at(*seen_px);
        const double diameter_px =
            2 * kRadius_m * camera.lens.focal_px / depth_m;
        CHECK(limits.least_diameter_px < diameter_px);
        CHECK(limits.most_diameter_px > diameter_px);
      }
    }
  }
  CHECK(looked > 300);
}

}  // namespace

TEST_CASE("a ball anywhere in its space may look as large as it does") {
  SUBCASE("from above") { check_every_place(camera_with_eye({0.4, 1.2, 2.6})); }
  SUBCASE("from a tripod lower than a lobbed ball") {
    check_every_place(camera_with_eye({-2.4, 0.7, 1.15}));
  }
  SUBCASE("from within the space") {
    check_every_place(camera_with_eye({-1.2, 0.9, 1.0}));
  }
}

// A line of sight that is nearly level meets a plane above the table metres
// beyond it, or never: a ball there is still the launcher's.
TEST_CASE("a launched ball looks about as large as it is thought to") {
  struct View {
    const char* name;
    Eigen::Vector3d eye_m;
    double most_off;
  };
  for (const View& view : {View{"from above", {0.4, 1.2, 2.6}, 0.1},
                           View{"from the side, low", {-0.2, -1.7, 0.75}, 0.3},
                           View{"level", {0.2, -2.5, 0.4}, 0.3},
                           View{"behind the end", {3, 0.4, 1.1}, 0.5}}) {
    const CameraModel camera = camera_with_eye(view.eye_m);
    const BallScale scale(camera, kRadius_m, kSpace, 25, 0.3);
    int looked = 0;
    for (double x_m = -1.2; x_m < 1.25; x_m += 0.1) {
      const Eigen::Vector3d centre_m(x_m, 0.1, 0.35 - 0.1 * x_m * x_m);
      const auto seen_px = camera.project(centre_m);
      if (!seen_px || !camera.in_picture(*seen_px, 0)) continue;
      ++looked;
      CAPTURE(view.name);
      CAPTURE(x_m);
      const double depth_m = (camera.camera_from_table * centre_m).z();
      const double diameter_px = 2 * kRadius_m * camera.lens.focal_px / depth_m;
      const BallLimits limits = scale.at(*seen_px);
      const double off = std::log(limits.likely_diameter_px / diameter_px);
      CHECK(std::abs(off) < view.most_off);
      CHECK(std::abs(off) < 2.5 * limits.likely_spread);
    }
    CHECK(looked > 15);
  }
}
