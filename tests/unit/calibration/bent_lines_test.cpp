// SPDX-License-Identifier: MIT
// Tables are drawn whose right side line is broken half way, and looked at
// through the camera they were drawn with.
#include "calibration/bent_lines.h"

#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel bent_camera() {
  return small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
}

// One half of the right side line lies so far inside its place.
Surface broken(bool receiving_half, double by_m) {
  Surface table = table_tennis_surface();
  for (PaintedLine& line : table.lines) {
    if (line.name != "side_right") continue;
    PaintedLine half = line;
    half.name = "half";
    (receiving_half ? half.low_m : half.high_m).x() = 0;
    (receiving_half ? line.high_m : line.low_m).x() = 0;
    half.low_m.y() += by_m;
    half.high_m.y() += by_m;
    table.lines.push_back(half);
    break;
  }
  return table;
}

cv::Mat bent_picture(const Surface& surface) {
  DrawnTable look;
  look.samples = 8;
  return draw_table(bent_camera(), surface, look, 5);
}

std::optional<BentLine> bent_of(const cv::Mat& picture) {
  RefinedCamera fit;
  fit.solution.camera = bent_camera();
  fit.lines = painted_lines(table_tennis_surface());
  fit.cuts = cut_all_lines(
                 picture, bent_camera(), table_tennis_surface(), fit.lines, {})
                 .cuts;
  return find_bent_line(picture, fit);
}

}  // namespace

TEST_CASE("a table whose lines are straight has no bent line") {
  CHECK_FALSE(bent_of(bent_picture(table_tennis_surface())));
  // 4 mm are no more than paint is off.
  CHECK_FALSE(bent_of(bent_picture(broken(false, 0.004))));
}

TEST_CASE("the line that leaves its place is named, and on which half") {
  for (const bool receiving : {false, true}) {
    const auto bent = bent_of(bent_picture(broken(receiving, 0.035)));
    REQUIRE(bent);
    CHECK(bent->name == "side_right");
    CHECK(bent->receiving_half == receiving);
    CHECK(bent->off_m == doctest::Approx(0.035).epsilon(0.1));
  }
}

TEST_CASE("halves not in one line: a warning, or refused where balls land") {
  CalibrationOptions options;
  options.launcher_end = LauncherEnd::kNotSaid;
  const Surface& table = table_tennis_surface();
  const cv::Mat picture = bent_picture(broken(false, 0.035));
  const auto open = calibrate_still(picture, table, options);
  REQUIRE(open.status == CalibrationStatus::kWhichEnd);
  // Along the solved x, or against it: the camera stands at the right end.
  const double x_m = open.fit.solution.camera.eye_in_table_m().x();
  const double to_right = x_m > 0 ? 1 : -1;
  const auto launcher =
      settle_calibration(open, picture, table, options, to_right);
  CAPTURE(launcher.message);
  REQUIRE(launcher.done());
  REQUIRE_FALSE(launcher.warnings.empty());
  CHECK(launcher.warnings[0].find("on the launcher's half") !=
        std::string::npos);
  const auto receiving =
      settle_calibration(open, picture, table, options, -to_right);
  CHECK(receiving.status == CalibrationStatus::kBadFit);
  CHECK(receiving.message.find("on the receiving half") != std::string::npos);
}

TEST_CASE("options that cannot be are refused") {
  BentLineOptions options;
  options.least_sections = options.sections + 1;
  CHECK_THROWS_AS(options.check(), UsageError);
}
