// SPDX-License-Identifier: MIT
#include "calibration/camera_refiner.h"

#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

// An end line that runs away from the camera is short in a small picture.
TEST_CASE("a line seen nearly end on has cuts enough in a small picture") {
  const CameraModel camera = small_camera(480, {0.1, -4.2, 1.0}, {0, 0.1, 0});
  const Surface& table = table_tennis_surface();
  const RefinedCamera fit = refine_camera(
      finely_drawn(camera, 5), camera, table, painted_lines(table), {}, {}, 4);
  REQUIRE(fit.solution.solved);
  int ends = 0;
  for (std::size_t i = 0; i < fit.lines.size(); ++i) {
    if (fit.lines[i].along_x || !fit.lines[i].on_border) continue;
    CHECK(fit.support[i].found >= 8);
    ++ends;
  }
  CHECK(ends == 2);
}
