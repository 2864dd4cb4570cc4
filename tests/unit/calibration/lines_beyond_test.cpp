// SPDX-License-Identifier: MIT
// A whole table is drawn, and part of it is taken for the whole.
#include "calibration/lines_beyond.h"

#include "unit/calibration/small_view.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel camera() {
  return small_camera(480, {1.2, -2.3, 2.0}, {0, 0.1, 0});
}

const cv::Mat& picture() {
  static const cv::Mat drawn = finely_drawn(camera(), 5);
  return drawn;
}

// The lines of a table that would end at these places of the real one.
std::vector<SurfaceLine> lines_of_part(double high_x_m, double high_y_m) {
  Surface part = table_tennis_surface();
  for (PaintedLine& line : part.lines) {
    const bool along_x = line.high_m.x() - line.low_m.x() > 1;
    if (along_x) line.high_m.x() = high_x_m;
    if (!along_x) line.high_m.y() = high_y_m;
    if (!along_x && line.low_m.x() > 0) {
      line.low_m.x() = high_x_m - 0.02;
      line.high_m.x() = high_x_m;
    }
    if (along_x && line.low_m.y() > 0.1) {
      line.low_m.y() = high_y_m - 0.02;
      line.high_m.y() = high_y_m;
    }
  }
  return painted_lines(part);
}

}  // namespace

TEST_CASE("the lines of the whole table end at its border") {
  CHECK(lines_beyond_border(
            picture(), camera(), painted_lines(table_tennis_surface()))
            .empty());
}

TEST_CASE("what ends before the table does is not the table") {
  const std::string shorter =
      lines_beyond_border(picture(), camera(), lines_of_part(0.6, 0.7625));
  CHECK(shorter.find("an end line") != std::string::npos);
  const std::string narrower =
      lines_beyond_border(picture(), camera(), lines_of_part(1.37, 0.0015));
  CHECK(narrower.find("a side line") != std::string::npos);
}

TEST_CASE("a line of the hall in continuation of one line says nothing") {
  cv::Mat with_stripe = picture().clone();
  const Eigen::Vector2d from = *camera().project({1.38, -0.7525, 0});
  const Eigen::Vector2d to = *camera().project({1.9, -0.7525, 0});
  cv::line(with_stripe,
           cv::Point2d(from.x(), from.y()),
           cv::Point2d(to.x(), to.y()),
           cv::Scalar(205),
           3,
           cv::LINE_AA);
  CHECK(lines_beyond_border(
            with_stripe, camera(), painted_lines(table_tennis_surface()))
            .empty());
}
