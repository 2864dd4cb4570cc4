// SPDX-License-Identifier: MIT
#include "calibration/stray_bars.h"

#include "calibration/camera_refiner.h"
#include "calibration/line_edges.h"
#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel camera() {
  return small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
}

int strays_of(const cv::Mat& picture, const CameraModel& seen_by) {
  const Surface& table = table_tennis_surface();
  return stray_bars(
      find_bright_bars(picture), seen_by, table, painted_lines(table));
}

BrightBar bar_on_table(const Eigen::Vector3d& from, const Eigen::Vector3d& to) {
  BrightBar bar;
  bar.from_px = camera().project(from).value();
  bar.to_px = camera().project(to).value();
  bar.width_px = 3;
  return bar;
}

}  // namespace

TEST_CASE("the table's own lines and its net are no strays") {
  CHECK(strays_of(finely_drawn(camera(), 5), camera()) == 0);
}

TEST_CASE("a surface taken too wide has the true side line on it") {
  CameraModel nearer = camera();
  nearer.lens.focal_px *= 1.12;
  CHECK(strays_of(finely_drawn(camera(), 5), nearer) >= 1);
}

TEST_CASE("a bar counts on the bare surface, not behind the net or outside") {
  const Surface& table = table_tennis_surface();
  const auto strays = [&](const Eigen::Vector3d& from,
                          const Eigen::Vector3d& to) {
    return stray_bars(
        {bar_on_table(from, to)}, camera(), table, painted_lines(table));
  };
  CHECK(strays({0.3, 0.3, 0}, {1.2, 0.3, 0}) == 1);
  CHECK(strays({0.3, 0.0, 0}, {1.2, 0.0, 0}) == 0);       // the centre line
  CHECK(strays({0.3, 1.0, 0}, {1.2, 1.0, 0}) == 0);       // beside the table
  CHECK(strays({-0.12, -0.4, 0}, {-0.12, 0.4, 0}) == 0);  // behind the net
  CHECK(strays({0.3, 0.3, 0}, {0.35, 0.3, 0}) == 0);      // too short
}

// A wall in the sun behind the far end: its line cannot be told from it.
TEST_CASE("a border beside something as bright is not missed") {
  const Surface& table = table_tennis_surface();
  const auto lines = painted_lines(table);
  cv::Mat sunny = finely_drawn(camera(), 5);
  for (int v = 0; v < sunny.rows; ++v) {
    for (int u = 0; u < sunny.cols; ++u) {
      const auto at = camera().meet_plane({double(u), double(v)}, 0);
      if (!at || at->y() > table.width_m / 2) sunny.at<uchar>(v, u) = 205;
    }
  }
  int side = -1;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].name == "side_left") side = static_cast<int>(i);
  }
  REQUIRE(side >= 0);
  const LineCuts plain =
      cut_line(finely_drawn(camera(), 5), camera(), table, lines, side, {});
  const LineCuts outshone = cut_line(sunny, camera(), table, lines, side, {});
  CHECK(plain.looked > 20);
  CHECK(plain.cuts.size() > 0.9 * plain.looked);
  CHECK(outshone.cuts.size() < 5);
  CHECK(outshone.looked < 0.2 * plain.looked);
}
