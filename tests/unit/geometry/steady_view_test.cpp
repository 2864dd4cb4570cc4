// SPDX-License-Identifier: MIT
#include "geometry/steady_view.h"

#include "support/table_camera.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel calibrated() { return table_camera({0.4, -1.2, 2.5}, 0.02); }

// About an eye that stays, then with the eye elsewhere.
CameraModel moved(const Eigen::Vector3d& turn_rad,
                  const Eigen::Vector3d& eye_shift_m) {
  CameraModel camera = calibrated();
  Pose& pose = camera.camera_from_table;
  pose.rotation = turned_by(turn_rad) * pose.rotation;
  pose.translation_m = turned_by(turn_rad) * pose.translation_m;
  return with_eye_shifted(camera, eye_shift_m);
}

// How far from where the calibrated camera sees it, over the table, px.
double worst_px(const CameraModel& now, double height_m, double plane_m) {
  const SteadyView view(calibrated(), now, plane_m);
  double worst = 0;
  for (const double x : {-1.2, 0.0, 0.7, 1.3}) {
    for (const double y : {-0.7, 0.1, 0.7}) {
      const Eigen::Vector3d at_m(x, y, height_m);
      worst = std::max(
          worst,
          (view(*now.project(at_m)) - *calibrated().project(at_m)).norm());
    }
  }
  return worst;
}

const Eigen::Vector3d kTurn{0.004, -0.006, 0.01};

}  // namespace

TEST_CASE("a turned camera is seen through exactly, at any height") {
  const CameraModel now = moved(kTurn, {0, 0, 0});
  CHECK(worst_px(now, 0.3, 0.02) < 1e-6);
  CHECK(worst_px(now, 0, 0.02) < 1e-6);
  REQUIRE((*now.project({0, 0, 0}) - *calibrated().project({0, 0, 0})).norm() >
          5);
}

TEST_CASE("a shifted camera is seen through exactly on the plane only") {
  const CameraModel now = moved(kTurn, {0.006, 0, 0});
  CHECK(worst_px(now, 0.02, 0.02) < 1e-6);
  // 6 mm * 0.2 m / 2.5 m = 0.48 mm on the table, at 350 to 450 px/m or less.
  const double off_px = worst_px(now, 0.22, 0.02);
  CHECK(off_px > 0.05);
  CHECK(off_px < 0.3);
}

TEST_CASE("a line of sight that passes over the table keeps its direction") {
  CameraModel low = calibrated();
  low.camera_from_table = look_at({-3, 0, 0.8}, {0, 0, 0.6}, {0, 0, 1});
  CameraModel turned = low;
  turned.camera_from_table = look_at({-3, 0, 0.8}, {0, 0.02, 0.61}, {0, 0, 1});
  const Eigen::Vector3d far_m(400, 12, 30);
  const SteadyView view(low, turned, 0.02);
  CHECK((view(*turned.project(far_m)) - *low.project(far_m)).norm() < 0.5);
  REQUIRE((*turned.project(far_m) - *low.project(far_m)).norm() > 4);
}

TEST_CASE("the table's picture moves as far as the camera is pushed over it") {
  const std::vector<Eigen::Vector3d> places{
      {-1, -0.5, 0}, {1, -0.5, 0}, {1, 0.5, 0}, {0, 0, 0}};
  const CameraModel same = calibrated();
  CHECK(shift_at_table_m(same, same, places) < 1e-9);
  const CameraModel pushed = moved({0, 0, 0}, {0.003, -0.004, 0});
  CHECK(shift_at_table_m(same, pushed, places) ==
        doctest::Approx(0.005).epsilon(1e-6));
  CHECK(shift_at_table_m(pushed, same, places) ==
        doctest::Approx(0.005).epsilon(1e-6));
  CHECK(std::isnan(shift_at_table_m(same, pushed, {})));
}
