// SPDX-License-Identifier: MIT
#include "calibration/squeeze_check.h"

#include "calibration/calibration.h"
#include "support/calibration_profile.h"
#include "unit/calibration/drawn_table.h"

#include <doctest/doctest.h>
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

// A camera beside the table, as the picture was taken, pixels square.
cv::Mat squeezed_picture(const Surface& surface) {
  CameraModel camera;
  camera.width_px = 640;
  camera.height_px = 360;
  camera.lens = {480, 319.5, 179.5, -0.06, 0.01};
  camera.camera_from_table =
      look_at({0.35, -1.65, 2.35}, {0.35, 0, 0}, {0, 1, 0}, 0);
  DrawnTable look;
  look.samples = 8;
  return draw_table(camera, surface, look, 7);
}

}  // namespace

TEST_CASE("a picture squeezed without a mark is told, a square one is not") {
  const CalibrationProfile profile =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  CalibrationOptions options;
  options.limits = profile.limits;
  options.launcher_end = LauncherEnd::kLeft;
  const cv::Mat square = squeezed_picture(profile.surface);
  const auto plain = calibrate_still(square, profile.surface, options);
  REQUIRE(plain.done());
  CHECK(plain.warnings.empty());
  cv::Mat squeezed;
  cv::resize(square, squeezed, {560, 360}, 0, 0, cv::INTER_AREA);
  const auto told = calibrate_still(squeezed, profile.surface, options);
  REQUIRE(told.done());  // it does look like a table
  REQUIRE(told.warnings.size() == 1);
  CHECK(told.warnings[0].find("squeezed") != std::string::npos);
  // More, and no camera that can be believed takes such a picture.
  cv::resize(square, squeezed, {480, 360}, 0, 0, cv::INTER_AREA);
  CHECK_FALSE(calibrate_still(squeezed, profile.surface, options).done());
}

// Some cuts are off by a pixel, which only other factors are too bad to notice.
TEST_CASE("where square pixels give no fit no squeeze is told") {
  const CalibrationProfile profile =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
  RefinedCamera fit;
  CameraModel& camera = fit.solution.camera;
  camera.width_px = 640;
  camera.height_px = 360;
  camera.lens = {480, 319.5, 179.5, -0.06, 0.01};
  camera.camera_from_table =
      look_at({0.35, -1.65, 2.35}, {0.35, 0, 0}, {0, 1, 0}, 0);
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
