// SPDX-License-Identifier: MIT
// Right marks that fit no camera of a flat table in a whole picture: what is
// the matter is found in the lines, or asked for by name.
#include "calibration/calibrate_still.h"
#include "calibration/calibration.h"
#include "unit/calibration/small_view.h"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

using Names = std::vector<std::string>;
const Names kEnds{"corner_near_left",
                  "corner_near_right",
                  "corner_far_left",
                  "corner_far_right",
                  "centre_near_left",
                  "centre_far_left"};
const Names kReceiving{
    "corner_far_left", "corner_far_right", "net_foot_left", "net_foot_right"};

// The launcher's half lies so far to the left of the receiving one.
Surface out_of_line(double by_m) {
  Surface table = table_tennis_surface();
  std::vector<PaintedLine> lines;
  for (const PaintedLine& line : table.lines) {
    PaintedLine launcher = line, receiving = line;
    launcher.high_m.x() = std::min(line.high_m.x(), 0.0);
    receiving.low_m.x() = std::max(line.low_m.x(), 0.0);
    launcher.low_m.y() += by_m;
    launcher.high_m.y() += by_m;
    if (launcher.low_m.x() < launcher.high_m.x()) lines.push_back(launcher);
    if (receiving.low_m.x() < receiving.high_m.x()) lines.push_back(receiving);
  }
  table.lines = lines;
  table.width_m += 2 * by_m;
  return table;
}

// Where they are seen; those of the launcher's half `by_m` beside.
std::vector<MarkedPoint> marks_through(const CameraModel& camera,
                                       const Names& names,
                                       double by_m = 0) {
  std::vector<MarkedPoint> marks;
  for (const std::string& name : names) {
    for (const Landmark& landmark : table_tennis_surface().landmarks()) {
      if (landmark.name != name) continue;
      Eigen::Vector3d at = landmark.x_in_table_m;
      if (at.x() < 0) at.y() += by_m;
      const auto p = camera.project(at);
      REQUIRE(p);
      marks.push_back({landmark.name, landmark.x_in_table_m, *p, 0.8});
    }
  }
  REQUIRE(marks.size() == names.size());
  return marks;
}

CameraModel oblique() {
  return small_camera(480, {1.7, -2.1, 2.1}, {0, 0.1, 0});
}

// From a corner, the lens's axis 220 px beside the middle of 640 x 360.
CameraModel cut_out() {
  CameraModel camera = small_camera(630, {1.9, -2.6, 1.3}, {-0.94, -0.68, 0.2});
  camera.lens = {630, 100, 136, -0.34, 0.11};
  return camera;
}

cv::Mat drawn(const CameraModel& camera, const Surface& surface) {
  DrawnTable look;
  look.samples = 8;
  return draw_table(camera, surface, look, 5);
}

CalibrationResult marked(const cv::Mat& picture,
                         const std::vector<MarkedPoint>& marks) {
  CalibrationOptions options;
  options.marks = marks;
  return calibrate_still(picture, table_tennis_surface(), options);
}

// Where the receiving half is drawn, beside where it is.
double worst_receiving_px(const CameraModel& truth, const CameraModel& found) {
  double worst = 0;
  for (const double x : {0.1, 0.7, 1.37}) {
    for (const double y : {-0.7625, 0.0, 0.7625}) {
      const auto p = truth.project({x, y, 0}), q = found.project({x, y, 0});
      REQUIRE(p);
      REQUIRE(q);
      worst = std::max(worst, (*p - *q).norm());
    }
  }
  return worst;
}

void check_axis(const CalibrationResult& result, const CameraModel& truth) {
  REQUIRE(result.warnings.size() == 1);
  CAPTURE(result.warnings[0]);
  CHECK(result.warnings[0].find("cut out of a larger one") !=
        std::string::npos);
  const LensModel<double>& lens = result.bench.camera.lens;
  CHECK(std::abs(lens.centre_u_px - truth.lens.centre_u_px) < 15);
  CHECK(std::abs(lens.centre_v_px - truth.lens.centre_v_px) < 15);
  // The marks' own sd are 0.8 px.
  CHECK(worst_receiving_px(truth, result.bench.camera) < 1.2);
  const Eigen::Vector3d off =
      result.bench.camera.eye_in_table_m() - truth.eye_in_table_m();
  for (int i = 0; i < 3; ++i) {
    CHECK(std::abs(off[i]) < 3 * result.eye_sd_m[i] + 0.002);
  }
}

}  // namespace

TEST_CASE("marks of halves out of line: what is the matter, and a way out") {
  constexpr double kBeside_m = 0.12;
  const CameraModel camera = oblique();
  const cv::Mat picture = drawn(camera, out_of_line(kBeside_m));
  const auto all = marked(picture, marks_through(camera, kEnds, kBeside_m));
  CAPTURE(all.message);
  CHECK_FALSE(all.done());
  CHECK(all.message.find("the table's halves are not in one line") !=
        std::string::npos);
  CHECK(all.message.find("nothing but the receiving half") !=
        std::string::npos);
  const auto half = marked(picture, marks_through(camera, kReceiving));
  CAPTURE(half.message);
  REQUIRE(half.done());
  REQUIRE(half.warnings.size() >= 1);
  CHECK(half.warnings[0].find("not in one line") != std::string::npos);
  CHECK(worst_receiving_px(camera, half.bench.camera) < 0.6);
}

TEST_CASE("a wrong mark of four is named, and no halves are blamed") {
  const CameraModel camera = oblique();
  auto marks = marks_through(camera, kEnds);
  marks.resize(4);
  marks[0].picture_px += Eigen::Vector2d(14, -9);
  const auto result = marked(drawn(camera, table_tennis_surface()), marks);
  CAPTURE(result.message);
  CHECK_FALSE(result.done());
  CHECK(result.message.find("worst mark is corner_near_left") !=
        std::string::npos);
  CHECK(result.message.find("halves") == std::string::npos);
}

TEST_CASE("a picture cut out of a larger one is solved by marks and told") {
  const cv::Mat picture = drawn(cut_out(), table_tennis_surface());
  const auto result = marked(picture, marks_through(cut_out(), kEnds));
  CAPTURE(result.message);
  REQUIRE(result.done());
  check_axis(result, cut_out());
}

// Drawn so finely that 0.2 mm are what a table that is not flat leaves.
TEST_CASE("without marks too, where its lines would fit no flat table") {
  CalibrationOptions options;
  options.launcher_end = LauncherEnd::kLeft;
  options.limits.max_residual_m = 2e-4;
  CameraModel camera = oblique();
  camera.lens.centre_u_px += 90;
  camera.lens.centre_v_px -= 70;
  camera.lens.k1 = -0.2;
  const auto cut = calibrate_still(
      drawn(camera, table_tennis_surface()), table_tennis_surface(), options);
  CAPTURE(cut.message);
  REQUIRE(cut.done());
  check_axis(cut, camera);
}

TEST_CASE("an axis that is open does not take a wrong mark in") {
  const CameraModel camera = oblique();
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  auto marks = marks_through(camera, kEnds);
  marks.resize(5);
  marks[2].picture_px += Eigen::Vector2d(-9, 12);
  CHECK_FALSE(marked(dark, marks).done());
  const auto seen = marked(drawn(camera, table_tennis_surface()), marks);
  for (const std::string& warning : seen.warnings) {
    CHECK(warning.find("cut out") == std::string::npos);
  }
}

TEST_CASE("marks of a squeezed picture are not called wrong only") {
  auto marks = marks_through(oblique(), kEnds);
  for (MarkedPoint& mark : marks) {
    mark.picture_px.x() = (mark.picture_px.x() + 0.5) * 0.75 - 0.5;
  }
  const cv::Mat dark(360, 480, CV_8U, cv::Scalar(40));
  const auto result = marked(dark, marks);
  CHECK_FALSE(result.done());
  CAPTURE(result.message);
  CHECK(result.message.find("squeezed: with pixels about 1.3 times") !=
        std::string::npos);
  CHECK(result.message.find("-aspect 16:9 ") != std::string::npos);
}

// A ceiling camera's picture has hardly any perspective, and lines that are
// found beside where the marks have them.
TEST_CASE("its marks tell it where the lines would say something else") {
  const CameraModel camera =
      small_camera(440, {-0.1, -0.3, 2.2}, {-0.05, 0, 0});
  cv::Mat squeezed;
  cv::resize(drawn(camera, table_tennis_surface()),
             squeezed,
             cv::Size(480, 360),
             0,
             0,
             cv::INTER_AREA);
  auto marks = marks_through(camera, kEnds);
  for (MarkedPoint& mark : marks) {
    mark.picture_px.x() = (mark.picture_px.x() + 0.5) * 0.75 - 0.5;
  }
  const auto result = marked(squeezed, marks);
  CHECK_FALSE(result.done());
  CAPTURE(result.message);
  CHECK(result.message.find("its marks fit to") != std::string::npos);
  CHECK(result.message.find("-aspect 16:9 ") != std::string::npos);
}
