// SPDX-License-Identifier: MIT
#include "calibration/table_interior.h"

#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

constexpr double kLines = 140;  // grey levels of the lines over the field

CameraModel camera() { return small_camera(420, {0.1, -0.6, 2.6}, {0, 0, 0}); }

// A rectangle of the surface, across it from side to side unless said.
struct Painted {
  double x_m;
  double width_m = 0.03;
  double grey = 60 + kLines;
  double low_y_m = -0.76, high_y_m = 0.76;
};

// The bare field in one grey, with rectangles on it.
int strays_on(const std::vector<Painted>& all, double line_contrast = kLines) {
  cv::Mat luma(360, 640, CV_8U, cv::Scalar(60));
  for (const Painted& one : all) {
    std::vector<cv::Point> corners;
    for (const auto& [x, y] :
         {std::pair{one.x_m - one.width_m / 2, one.low_y_m},
          std::pair{one.x_m + one.width_m / 2, one.low_y_m},
          std::pair{one.x_m + one.width_m / 2, one.high_y_m},
          std::pair{one.x_m - one.width_m / 2, one.high_y_m}}) {
      const Eigen::Vector2d at = camera().project({x, y, 0}).value();
      corners.emplace_back(cvRound(at.x()), cvRound(at.y()));
    }
    cv::fillConvexPoly(luma, corners, cv::Scalar(one.grey));
  }
  return stray_lines_across(
      luma, camera(), table_tennis_surface(), line_contrast);
}

}  // namespace

TEST_CASE("a table as it is drawn shows no line across its field") {
  CHECK(strays_on({}) == 0);
  CHECK(stray_lines_across(finely_drawn(camera(), 3),
                           camera(),
                           table_tennis_surface(),
                           kLines) == 0);
}

TEST_CASE("lines across the field are counted") {
  CHECK(strays_on({{0.6}}) == 1);
  CHECK(strays_on({{0.6}, {0.9}}) == 2);
  CHECK(strays_on({{0.6}, {0.9}, {-0.8}}) == 3);
}

TEST_CASE("print that some of the table has does not matter") {
  CHECK(strays_on({{.x_m = 0.6, .low_y_m = 0.15, .high_y_m = 0.4},
                   {.x_m = 0.9, .low_y_m = 0.15, .high_y_m = 0.4}}) == 0);
  // On two of the four counts it is more than print.
  CHECK(strays_on({{.x_m = 0.6, .low_y_m = 0.15, .high_y_m = 0.76},
                   {.x_m = 0.9, .low_y_m = 0.15, .high_y_m = 0.76}}) == 2);
}

TEST_CASE("what is no line does not count") {
  CHECK(strays_on({{.x_m = 0.6, .width_m = 0.25}}) == 0);             // a field
  CHECK(strays_on({{.x_m = 0.6, .grey = 60 + 0.25 * kLines}}) == 0);  // faint
  CHECK(strays_on({{.x_m = 0.6, .grey = 60 + 0.6 * kLines}}) == 1);
  CHECK(strays_on({{.x_m = 0.1}}) == 0);    // where the net may hide it
  CHECK(strays_on({{.x_m = 1.355}}) == 0);  // the end line's own place
}
