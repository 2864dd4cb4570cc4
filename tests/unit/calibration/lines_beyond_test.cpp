// SPDX-License-Identifier: MIT
// A whole table is drawn, and part of it is taken for the whole.
#include "calibration/lines_beyond.h"

#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel beyond_camera() {
  return small_camera(480, {1.2, -2.3, 2.0}, {0, 0.1, 0});
}

const cv::Mat& beyond_picture() {
  static const cv::Mat drawn = finely_drawn(beyond_camera(), 5);
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

std::string beyond(const cv::Mat& picture,
                   const std::vector<SurfaceLine>& lines) {
  return lines_beyond_border(
      picture, beyond_camera(), lines, find_bright_bars(picture));
}

}  // namespace

TEST_CASE("the lines of the whole table end at its border") {
  CHECK(
      beyond(beyond_picture(), painted_lines(table_tennis_surface())).empty());
}

TEST_CASE("what ends before the table does is not the table") {
  const std::string shorter =
      beyond(beyond_picture(), lines_of_part(0.6, 0.7625));
  CHECK(shorter.find("an end line") != std::string::npos);
  const std::string narrower =
      beyond(beyond_picture(), lines_of_part(1.37, 0.0015));
  CHECK(narrower.find("a side line") != std::string::npos);
}

TEST_CASE("a line of the hall in continuation of one line says nothing") {
  cv::Mat with_stripe = beyond_picture().clone();
  const Eigen::Vector2d from = *beyond_camera().project({1.38, -0.7525, 0});
  const Eigen::Vector2d to = *beyond_camera().project({1.9, -0.7525, 0});
  cv::line(with_stripe,
           cv::Point2d(from.x(), from.y()),
           cv::Point2d(to.x(), to.y()),
           cv::Scalar(205),
           3,
           cv::LINE_AA);
  CHECK(beyond(with_stripe, painted_lines(table_tennis_surface())).empty());
}

TEST_CASE("lines that are hidden at the border go on behind what hides them") {
  cv::Mat hidden = beyond_picture().clone();
  std::vector<cv::Point> outline;
  for (const Eigen::Vector2d& at : {Eigen::Vector2d(-0.68, -0.8),
                                    {-0.68, 0.8},
                                    {-0.42, 0.8},
                                    {-0.42, -0.8}}) {
    const Eigen::Vector2d p = *beyond_camera().project({at.x(), at.y(), 0});
    outline.emplace_back(cvRound(p.x()), cvRound(p.y()));
  }
  cv::fillConvexPoly(hidden, outline, cv::Scalar(60));
  std::vector<SurfaceLine> lines = lines_of_part(-0.7, 0.7625);
  // The end that is hidden is no line that could go on.
  std::erase_if(lines, [](const SurfaceLine& line) { return !line.along_x; });
  CHECK(beyond(hidden, lines).find("an end line") != std::string::npos);
  CHECK(lines_beyond_border(hidden, beyond_camera(), lines, {}).empty());
  CHECK(beyond(hidden, painted_lines(table_tennis_surface())).empty());
}

// The picture shows only what lies before the camera, and the near end of the
// table has no place in it: what is to be seen of the lines tells all the same.
TEST_CASE("lines go on though their other end lies behind the camera") {
  const CameraModel over = camera_over_table();
  const cv::Mat picture = finely_drawn(over, 5);
  const std::vector<SurfaceLine> part = lines_of_part(0.6, 0.7625);
  REQUIRE_FALSE(over.project({-1.37, 0, 0}));
  CHECK(lines_beyond_border(picture, over, part, find_bright_bars(picture))
            .find("an end line") != std::string::npos);
  const std::vector<SurfaceLine> all = painted_lines(table_tennis_surface());
  CHECK(lines_beyond_border(picture, over, all, find_bright_bars(picture))
            .empty());
}
