// SPDX-License-Identifier: MIT
#include "calibration/bar_corners.h"

#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "calibration/table_finder.h"
#include "calibration/table_readings.h"
#include "unit/calibration/small_view.h"

#include <algorithm>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

BrightBar bar(double u1, double v1, double u2, double v2) {
  BrightBar result;
  result.from_px = {u1, v1};
  result.to_px = {u2, v2};
  result.width_px = 3;
  return result;
}

// As bright as a line beyond the far side, which then is no bar; as dark as a
// player nearer than x_m to the end at -x.
void hide(cv::Mat& picture, const CameraModel& camera, double x_m) {
  const double side_y_m = table_tennis_surface().width_m / 2;
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      const auto x = camera.meet_plane({double(u), double(v)}, 0);
      if (!x || x->y() > side_y_m - 0.03) {
        picture.at<uchar>(v, u) = 205;
      } else if (x->x() < x_m) {
        picture.at<uchar>(v, u) = 90;
      }
    }
  }
}

}  // namespace

TEST_CASE("a corner is where both come to an end") {
  const BarCorners corners({bar(100, 100, 500, 100), bar(100, 105, 100, 300)},
                           {640, 360});
  CHECK(corners.meet(0, 1));
  CHECK_FALSE(corners.meets_within(0, 1));
  CHECK(corners.at(0, 1).x() == doctest::Approx(100));
}

TEST_CASE("a centre line ends within an end line, or runs across it") {
  const BrightBar end = bar(100, 100, 100, 300);
  for (const BrightBar& centre :
       {bar(105, 200, 500, 200), bar(60, 200, 500, 200)}) {
    const BarCorners corners({centre, end}, {640, 360});
    CHECK_FALSE(corners.meet(0, 1));
    CHECK(corners.meets_within(0, 1));
    CHECK_FALSE(corners.meets_within(1, 0));
  }
}

// From a low stand beside the net; a player before one end and one side, and
// before the other side something as bright as its line.
TEST_CASE("a small half is found by its end, one side and the centre line") {
  const CameraModel camera = small_camera(560, {0.8, -4.2, 2.2}, {0, 0, 0});
  cv::Mat picture = finely_drawn(camera, 6);
  const Surface& table = table_tennis_surface();
  hide(picture, camera, -0.9);
  TableFinderOptions options;
  options.work_width_px = 2560;
  CHECK(find_table(picture, table, std::nullopt, options).empty());
  options.small_halves = true;
  const auto found = find_table(picture, table, std::nullopt, options);
  REQUIRE_FALSE(found.empty());
  const auto right = [&](const FoundTable& f) {
    return shows_same_table(f.camera, camera, table, 20);
  };
  CHECK(std::any_of(found.begin(), found.end(), right));
}

// Behind the far side a wall as bright as its line, which then is no bar.
TEST_CASE("a table whose far side is not seen is found by its centre line") {
  const CameraModel camera = small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
  cv::Mat picture = finely_drawn(camera, 5);
  const Surface& table = table_tennis_surface();
  hide(picture, camera, -10);
  const auto found = find_table(picture, table, std::nullopt);
  REQUIRE_FALSE(found.empty());
  CHECK(shows_same_table(found.front().camera, camera, table, 20));
}

namespace {

// From low behind the end; what is beyond the net is hidden.
CameraModel low_camera() {
  return small_camera(700, {-6.5, -1.2, 1.2}, {0, 0, 0});
}

cv::Mat low_half() {
  const CameraModel camera = low_camera();
  cv::Mat picture = finely_drawn(camera, 8);
  for (int v = 0; v < picture.rows; ++v) {
    for (int u = 0; u < picture.cols; ++u) {
      const auto x = camera.meet_plane({double(u), double(v)}, 0);
      if (!x || x->x() > -0.05) picture.at<uchar>(v, u) = 90;
    }
  }
  return picture;
}

bool finds_low_half(bool short_sides) {
  TableFinderOptions options;
  options.work_width_px = 2560;
  options.small_halves = true;
  options.short_sides = short_sides;
  const auto found =
      find_table(low_half(), table_tennis_surface(), std::nullopt, options);
  return std::any_of(found.begin(), found.end(), [&](const FoundTable& f) {
    return shows_same_table(f.camera, low_camera(), table_tennis_surface(), 20);
  });
}

}  // namespace

TEST_CASE("a half seen over its end from low is found by its short sides") {
  CHECK_FALSE(finds_low_half(false));
  CHECK(finds_low_half(true));
}

// What it leaves open is then told; a lamp keeps the picture as dark as it is.
TEST_CASE("short sides are looked for where nothing else stands") {
  cv::Mat picture = low_half();
  picture(cv::Rect(20, 20, 80, 40)) = 235;
  const auto result = calibrate_still(picture, table_tennis_surface(), {});
  CHECK(result.message.find("a landing on the receiving half would be known") !=
        std::string::npos);
  REQUIRE(result.fit.solution.solved);
  CHECK(shows_same_table(
      result.fit.solution.camera, low_camera(), table_tennis_surface(), 5));
}
