// SPDX-License-Identifier: MIT
// From above, without its net: every place on the table is known, the camera's
// height hardly.
#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "unit/calibration/small_view.h"

#include <string>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CalibrationResult from_above(const Eigen::Vector3d& eye_m) {
  const CameraModel camera = small_camera(440, eye_m, {0, 0, 0});
  Surface bare = table_tennis_surface();
  bare.net.present = false;
  DrawnTable look;
  look.samples = 8;
  CalibrationOptions options;
  options.launcher_end = LauncherEnd::kLeft;
  return calibrate_still(
      draw_table(camera, bare, look, 5), table_tennis_surface(), options);
}

}  // namespace

TEST_CASE("a table seen whole is believed with its camera's height in doubt") {
  const Eigen::Vector3d eye_m(-0.1, -0.05, 2.2);
  const auto result = from_above(eye_m);
  CAPTURE(result.message);
  REQUIRE(result.done());
  CHECK(result.height_sd_m > 0.07 * result.height_m);
  CHECK(std::abs(result.height_m - eye_m.z()) < 2 * result.height_sd_m);
  REQUIRE(result.warnings.size() == 1);
  CAPTURE(result.warnings[0]);
  CHECK(result.warnings[0].find("heights above the table and speeds") !=
        std::string::npos);
}
