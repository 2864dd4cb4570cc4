// SPDX-License-Identifier: MIT
#include "calibration/cut_out_picture.h"

#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

std::optional<CutOutPicture> looked_at(const CameraModel& camera) {
  return find_cut_out(finely_drawn(camera, 5),
                      camera,
                      table_tennis_surface(),
                      painted_lines(table_tennis_surface()),
                      {},
                      {});
}

}  // namespace

TEST_CASE("a whole picture's axis is not called beside its middle") {
  CHECK_FALSE(looked_at(small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0})));
}

TEST_CASE("an axis far beside the middle is found, and said") {
  CameraModel camera = small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
  camera.lens.centre_u_px += 90;
  camera.lens.centre_v_px -= 70;
  const auto cut = looked_at(camera);
  REQUIRE(cut);
  CHECK(cut->beside_px > 90);
  CHECK(cut->beside_px < 140);
  CHECK(cut->words().find("cut out of a larger one") != std::string::npos);
  CHECK(cut->fit.solution.cut_rms_px < 0.1);
}
