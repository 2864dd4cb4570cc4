// SPDX-License-Identifier: MIT
#include "calibration/line_in_view.h"

#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

SurfaceLine centre_line() {
  for (const SurfaceLine& line : painted_lines(table_tennis_surface())) {
    if (line.along_x && !line.on_border) return line;
  }
  throw std::logic_error("no centre line");
}

}  // namespace

TEST_CASE("a line that reaches behind the camera is followed to the edge") {
  const CameraModel camera = camera_over_table();
  const SurfaceLine line = centre_line();
  REQUIRE_FALSE(camera.project(line.middle_m(0)));
  const auto far = far_in_view(camera, line, false);
  REQUIRE(far);
  CHECK(camera.in_picture(*far));
  CHECK(far->y() > camera.height_px - 30);
  CHECK_FALSE(far_in_view(camera, line, true));
}

TEST_CASE("a line wholly in view is followed to its other end") {
  const CameraModel camera = small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
  const SurfaceLine line = centre_line();
  const auto far = far_in_view(camera, line, true);
  REQUIRE(far);
  CHECK((*far - *camera.project(line.middle_m(1))).norm() < 1e-9);
}
