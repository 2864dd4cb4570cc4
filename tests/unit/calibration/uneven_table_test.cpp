// SPDX-License-Identifier: MIT
// Tables that are not flat, with marks: the lens must not make good what the
// table is off by.
#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "unit/calibration/small_view.h"

#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kHalfLength_m = 1.37;

// Both leaves droop from the net to the ends, and no further.
double droop_m(double x_m, double at_ends_m) {
  return -at_ends_m * std::min(std::abs(x_m) / kHalfLength_m, 1.0);
}

// Where a line of sight meets it.
Eigen::Vector3d meets(const CameraModel& camera,
                      const Eigen::Vector2d& px,
                      double at_ends_m) {
  const Eigen::Vector3d eye = camera.eye_in_table_m();
  const Eigen::Vector3d ray = camera.ray_in_table(px);
  Eigen::Vector3d at = Eigen::Vector3d::Zero();
  for (int round = 0; round < 6; ++round) {
    const double z = droop_m(at.x(), at_ends_m);
    at = eye + (z - eye.z()) / ray.z() * ray;
  }
  return at;
}

// A flat one as it is drawn, without its net, moved to where a drooping one
// shows the same places.
cv::Mat drooping(const CameraModel& camera, double at_ends_m) {
  Surface bare = table_tennis_surface();
  bare.net.present = false;
  DrawnTable look;
  look.samples = 8;
  const cv::Mat flat = draw_table(camera, bare, look, 5);
  cv::Mat u(flat.size(), CV_32F), v(flat.size(), CV_32F), picture;
  for (int row = 0; row < flat.rows; ++row) {
    for (int col = 0; col < flat.cols; ++col) {
      const Eigen::Vector2d here(col, row);
      const Eigen::Vector3d at = meets(camera, here, at_ends_m);
      // Beyond the floor's horizon nothing droops.
      const Eigen::Vector2d from =
          camera.project({at.x(), at.y(), 0}).value_or(here);
      u.at<float>(row, col) = static_cast<float>(from.x());
      v.at<float>(row, col) = static_cast<float>(from.y());
    }
  }
  cv::remap(flat, picture, u, v, cv::INTER_CUBIC, cv::BORDER_REPLICATE);
  return picture;
}

std::vector<MarkedPoint> marks_of(const CameraModel& camera, double at_ends_m) {
  std::vector<MarkedPoint> marks;
  for (const Landmark& landmark : table_tennis_surface().landmarks()) {
    if (landmark.name.rfind("corner_", 0) != 0 &&
        landmark.name.rfind("centre_", 0) != 0) {
      continue;
    }
    Eigen::Vector3d at = landmark.x_in_table_m;
    at.z() = droop_m(at.x(), at_ends_m);
    const auto p = camera.project(at);
    REQUIRE(p);
    marks.push_back({landmark.name, landmark.x_in_table_m, *p, 1});
  }
  REQUIRE(marks.size() >= 6);
  return marks;
}

CalibrationResult marked(const cv::Mat& picture,
                         const std::vector<MarkedPoint>& marks) {
  CalibrationOptions options;
  options.marks = marks;
  return calibrate_still(picture, table_tennis_surface(), options);
}

double worst_miss_px(const CalibrationResult& result) {
  double worst = 0;
  for (const MarkedPoint& mark : result.marks) {
    const auto p = result.bench.camera.project(mark.x_in_table_m);
    REQUIRE(p);
    worst = std::max(worst, (*p - mark.picture_px).norm());
  }
  return worst;
}

// From beside a corner, low enough for a droop to show.
CameraModel beside_corner() {
  return small_camera(520, {2.0, -2.0, 1.1}, {0.1, 0, 0});
}

}  // namespace

TEST_CASE("a table that droops is solved by its marks, and told") {
  constexpr double kDroop_m = 0.02;
  const CameraModel camera = beside_corner();
  const auto result =
      marked(drooping(camera, kDroop_m), marks_of(camera, kDroop_m));
  CAPTURE(result.message);
  REQUIRE(result.done());
  REQUIRE_FALSE(result.warnings.empty());
  CAPTURE(result.warnings.back());
  CHECK(result.warnings.back().find("mm off a flat one") != std::string::npos);
  CHECK(worst_miss_px(result) < 2.5);
  // An ordinary lens, where it is.
  const LensModel<double>& lens = result.bench.camera.lens;
  CHECK(std::abs(lens.focal_px / camera.lens.focal_px - 1) < 0.06);
  CHECK(std::abs(lens.k1 - camera.lens.k1) < 0.12);
}

// Marks that are said to be rough allow lines that only a lens which is not
// made follows.
TEST_CASE("rough marks do not lead into a lens that is not made") {
  constexpr double kDroop_m = 0.03;
  const CameraModel camera = small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
  auto marks = marks_of(camera, kDroop_m);
  for (MarkedPoint& mark : marks) mark.sigma_px = 3;
  const auto result = marked(drooping(camera, kDroop_m), marks);
  CAPTURE(result.message);
  REQUIRE(result.done());
  CHECK(std::abs(result.bench.camera.lens.k1 - camera.lens.k1) < 0.12);
  CHECK(worst_miss_px(result) < 2.5);
}

TEST_CASE("one that droops further than a landing may be off is refused") {
  constexpr double kDroop_m = 0.12;
  const CameraModel camera = beside_corner();
  const auto result =
      marked(drooping(camera, kDroop_m), marks_of(camera, kDroop_m));
  CHECK_FALSE(result.done());
}

TEST_CASE("of a flat table a mark is wrong, not the table uneven") {
  const CameraModel camera = beside_corner();
  const cv::Mat flat = drooping(camera, 0);
  for (const Eigen::Vector2d& by_px :
       {Eigen::Vector2d(0, -6), Eigen::Vector2d(4, 3)}) {
    auto marks = marks_of(camera, 0);
    marks.resize(4);
    marks[2].picture_px += by_px;
    const auto result = marked(flat, marks);
    CAPTURE(result.message);
    CHECK_FALSE(result.done());
    CHECK(result.message.find("worst mark is " + marks[2].name) !=
          std::string::npos);
  }
}
