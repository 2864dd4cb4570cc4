// SPDX-License-Identifier: MIT
#include "calibration/squeeze_check.h"

#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "calibration/plausible_camera.h"
#include "support/calibration_profile.h"
#include "unit/calibration/drawn_table.h"

#include <cmath>

#include <doctest/doctest.h>
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

// As the picture was taken, pixels square.
CameraModel beside_the_table() {
  CameraModel camera;
  camera.width_px = 640;
  camera.height_px = 360;
  camera.lens = {480, 319.5, 179.5, -0.06, 0.01};
  camera.camera_from_table =
      look_at({0.35, -1.65, 2.35}, {0.35, 0, 0}, {0, 1, 0}, 0);
  return camera;
}

cv::Mat square_picture(const Surface& surface) {
  DrawnTable look;
  look.samples = 8;
  return draw_table(beside_the_table(), surface, look, 7);
}

}  // namespace

TEST_CASE("a picture squeezed without a mark is told, a square one is not") {
  const CalibrationProfile profile =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  CalibrationOptions options;
  options.limits = profile.limits;
  options.launcher_end = LauncherEnd::kLeft;
  const cv::Mat square = square_picture(profile.surface);
  const auto plain = calibrate_still(square, profile.surface, options);
  REQUIRE(plain.done());
  CHECK(plain.warnings.empty());
  cv::Mat squeezed;
  cv::resize(square, squeezed, {560, 360}, 0, 0, cv::INTER_AREA);
  const auto told = calibrate_still(squeezed, profile.surface, options);
  REQUIRE(told.done());  // it does look like a table
  REQUIRE(told.warnings.size() == 1);
  CHECK(told.warnings[0].find("squeezed") != std::string::npos);
}

// Begun where the table is: every reading that a search would try costs as
// much.
TEST_CASE("no camera that can be believed takes a picture squeezed by 4:3") {
  const CalibrationProfile profile =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  const Surface& table = profile.surface;
  cv::Mat squeezed;
  cv::resize(square_picture(table), squeezed, {480, 360}, 0, 0, cv::INTER_AREA);
  CameraModel start = beside_the_table();
  start.width_px = 480;
  start.lens.focal_px *= std::sqrt(0.75);
  start.lens.centre_u_px = 239.5;
  const RefinedCamera fit =
      refine_camera(squeezed, start, table, painted_lines(table), {}, {}, 16);
  REQUIRE(fit.solution.solved);
  CHECK_FALSE(why_implausible(fit.solution.camera,
                              fit.solution.marginal,
                              fit.solution.covariance,
                              table)
                  .empty());
}

// Some cuts are off by a pixel, which only other factors are too bad to notice.
TEST_CASE("where square pixels give no fit no squeeze is told") {
  const CalibrationProfile profile =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  RefinedCamera fit;
  CameraModel& camera = fit.solution.camera;
  camera = beside_the_table();
  const auto lines = painted_lines(profile.surface);
  for (int i = 0; i < static_cast<int>(lines.size()); ++i) {
    for (double along = 0.05; along < 0.96; along += 0.075) {
      const auto bar = predict_bar(camera, lines[i], along);
      if (!bar || !camera.in_picture(bar->middle_px)) continue;
      LineCut cut;
      cut.line = i;
      cut.along = along;
      cut.normal = bar->normal;
      cut.width_px = cut.predicted_width_px = bar->width_px;
      cut.measured_px = bar->middle_px;
      if (fit.cuts.size() % 12 == 5) cut.measured_px += cut.normal;
      fit.cuts.push_back(cut);
    }
  }
  REQUIRE(fit.cuts.size() > 40);
  REQUIRE(fit.cuts.size() < 120);  // all of them are used
  fit.solution.inliers = 0.98;
  CHECK(find_squeeze(fit, lines, {}, {}).factor == 1);
  fit.solution.inliers = 0.9;  // as they are
  CHECK(find_squeeze(fit, lines, {}, {}).factor == 1);
}
