// SPDX-License-Identifier: MIT
// The whole way from a picture to a camera, on pictures drawn through known
// cameras by a painter of the test's own.
#include "calibration/calibrate_still.h"

#include "calibration/calibration.h"
#include "calibration/calibration_overlay.h"
#include "calibration/table_ends.h"
#include "unit/calibration/small_view.h"

#include <map>
#include <string>

#include <doctest/doctest.h>
#include <opencv2/imgproc.hpp>

using namespace evenfeed;

namespace {

struct View {
  const char* name;
  double focal_px;
  Eigen::Vector3d eye, target;
  bool hall_lines, half;
};

const View kViews[] = {
    {"overhead", 470, {0.25, 0.1, 2.5}, {0.05, 0.02, 0}, true, false},
    {"oblique", 480, {1.7, -2.1, 2.1}, {0, 0.1, 0}, true, false},
    {"half", 480, {0.6, -1.5, 1.8}, {0.75, 0.05, 0}, false, true},
};

CalibrationProfile profile() {
  return load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml");
}

CameraModel camera_of(const View& view) {
  return small_camera(view.focal_px, view.eye, view.target);
}

cv::Mat picture_of(const View& view) {
  DrawnTable look;
  look.samples = 8;
  look.hall_lines = view.hall_lines;
  return draw_table(camera_of(view), profile().surface, look, 7);
}

CalibrationOptions left_launcher() {
  CalibrationOptions options;
  options.limits = profile().limits;
  options.launcher_end = LauncherEnd::kLeft;
  return options;
}

// What is found in the three pictures, the launcher at the left end.
const CalibrationResult& result_of(const View& view) {
  static std::map<std::string, CalibrationResult> found;
  const auto at = found.find(view.name);
  if (at != found.end()) return at->second;
  return found[view.name] = calibrate_still(
             picture_of(view), profile().surface, left_launcher());
}

// The farthest any table point in the picture is drawn from where it is, px.
double worst_table_point(const CameraModel& truth, const CameraModel& found) {
  double worst = 0;
  int points = 0;
  for (const Landmark& landmark : profile().surface.landmarks()) {
    if (landmark.x_in_table_m.z() > 0) continue;
    const auto p = truth.project(landmark.x_in_table_m);
    if (!p || !truth.in_picture(*p)) continue;
    const auto q = found.project(landmark.x_in_table_m);
    REQUIRE(q);
    worst = std::max(worst, (*p - *q).norm());
    ++points;
  }
  REQUIRE(points >= 6);
  return worst;
}

// Every landmark that the camera sees, marked where it is.
std::vector<MarkedPoint> marks_through(const CameraModel& camera) {
  std::vector<MarkedPoint> marks;
  for (const Landmark& landmark : profile().surface.landmarks()) {
    const auto p = camera.project(landmark.x_in_table_m);
    if (!p || !camera.in_picture(*p)) continue;
    marks.push_back({landmark.name, landmark.x_in_table_m, *p, 1});
  }
  return marks;
}

}  // namespace

TEST_CASE("overhead, oblique and half tables are found and solved") {
  int run = 0;
  for (const View& view : kViews) {
    CAPTURE(view.name);
    const CalibrationResult& result = result_of(view);
    CAPTURE(result.message);
    REQUIRE(result.done());
    CHECK(result.bench.half_table == view.half);
    CHECK(result.bench.residual_px < 0.1);
    CHECK(worst_table_point(camera_of(view), result.bench.camera) < 0.25);
    const Eigen::Vector3d off = result.bench.camera.eye_in_table_m() - view.eye;
    for (int i = 0; i < 3; ++i) {
      CHECK(std::abs(off[i]) < 3 * result.eye_sd_m[i] + 0.002);
      CHECK(result.eye_sd_m[i] < 0.25);
    }
    const cv::Mat picture = picture_of(view);
    const cv::Mat overlay = draw_overlay(picture, profile().surface, result);
    CHECK(overlay.size() == picture.size());
    CHECK(overlay.type() == CV_8UC3);
    ++run;
  }
  CHECK(run == 3);
}

TEST_CASE("the launcher's end decides which end is the far one") {
  CalibrationOptions options = left_launcher();
  const cv::Mat picture = picture_of(kViews[1]);
  options.launcher_end = LauncherEnd::kRight;
  const auto right = calibrate_still(picture, profile().surface, options);
  REQUIRE(right.done());
  const Eigen::Vector3d eye = right.bench.camera.eye_in_table_m();
  CHECK(eye.x() == doctest::Approx(-kViews[1].eye.x()).epsilon(0.02));
  CHECK(eye.y() == doctest::Approx(-kViews[1].eye.y()).epsilon(0.02));

  options.launcher_end = LauncherEnd::kTop;
  CHECK(calibrate_still(picture_of(kViews[0]), profile().surface, options)
            .status == CalibrationStatus::kWhichEnd);

  options.launcher_end = LauncherEnd::kNotSaid;
  auto open = calibrate_still(picture, profile().surface, options);
  REQUIRE(open.status == CalibrationStatus::kWhichEnd);
  CHECK(open.message.find("--launcher-end") != std::string::npos);
  // What the balls say settles it: along the solved x, or against it.
  const double x = open.fit.solution.camera.eye_in_table_m().x();
  const auto settled = settle_calibration(
      open, picture, profile().surface, options, x > 0 ? 1.0 : -1.0);
  REQUIRE(settled.done());
  CHECK(settled.bench.camera.eye_in_table_m().x() > 1.6);
}

TEST_CASE("of a half table the launcher's half is refused") {
  CalibrationOptions options = left_launcher();
  options.launcher_end = LauncherEnd::kRight;
  const auto result =
      calibrate_still(picture_of(kViews[2]), profile().surface, options);
  CHECK(result.status == CalibrationStatus::kWrongHalf);
}

TEST_CASE("pictures without a table are refused with advice") {
  cv::Mat plain(360, 640, CV_8U, cv::Scalar(90));
  cv::Mat noise(360, 640, CV_8U);
  cv::RNG random(3);
  random.fill(noise, cv::RNG::UNIFORM, 0, 255);
  cv::Mat lines = plain.clone();
  for (int i = 0; i < 6; ++i) {
    cv::line(lines,
             {20 + 90 * i, 10},
             {60 + 70 * i, 350},
             cv::Scalar(220),
             5,
             cv::LINE_AA);
  }
  cv::Mat court = plain.clone();
  cv::rectangle(court, {100, 60, 300, 250}, cv::Scalar(220), 6, cv::LINE_AA);
  int refused = 0;
  for (const cv::Mat& picture : {plain, noise, lines, court}) {
    const auto result =
        calibrate_still(picture, profile().surface, left_launcher());
    CHECK(result.status == CalibrationStatus::kNoTable);
    CHECK(result.message.find("--points") != std::string::npos);
    ++refused;
  }
  CHECK(refused == 4);
}

TEST_CASE("marks made by hand solve a picture that shows no lines") {
  const View& view = kViews[1];
  const CameraModel truth = camera_of(view);
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  CalibrationOptions options = left_launcher();
  options.launcher_end = LauncherEnd::kNotSaid;
  options.marks = marks_through(truth);
  REQUIRE(options.marks.size() > 20);
  const auto result = calibrate_still(dark, profile().surface, options);
  CAPTURE(result.message);
  REQUIRE(result.done());
  CHECK((result.bench.camera.eye_in_table_m() - view.eye).norm() < 0.02);

  SUBCASE("marked on pictures of another size") {
    options.marks_size = PictureSize{1280, 720};
    CHECK_THROWS_AS((void)calibrate_still(dark, profile().surface, options),
                    InputError);
  }
  SUBCASE("too few marks") {
    options.marks.resize(3);
    const auto few = calibrate_still(dark, profile().surface, options);
    CHECK(few.status == CalibrationStatus::kTooFewLines);
    CHECK(few.message.find("3 points") != std::string::npos);
  }
  SUBCASE("two names exchanged") {
    std::swap(options.marks[0].picture_px, options.marks[3].picture_px);
    options.marks.resize(8);
    const auto wrong = calibrate_still(dark, profile().surface, options);
    CHECK_FALSE(wrong.done());
    CHECK_FALSE(wrong.message.empty());
  }
}

// The marks with these names.
std::vector<MarkedPoint> named(const std::vector<MarkedPoint>& marks,
                               const std::vector<std::string>& names) {
  std::vector<MarkedPoint> kept;
  for (const std::string& name : names) {
    for (const MarkedPoint& mark : marks) {
      if (mark.name == name) kept.push_back(mark);
    }
  }
  REQUIRE(kept.size() == names.size());
  return kept;
}

const std::vector<std::string> kCorners{"corner_near_left",
                                        "corner_near_right",
                                        "corner_far_left",
                                        "corner_far_right"};

TEST_CASE("four corners and an ordinary lens are enough to find the lines") {
  const View& view = kViews[1];
  CalibrationOptions options = left_launcher();
  options.marks = named(marks_through(camera_of(view)), kCorners);
  const auto result =
      calibrate_still(picture_of(view), profile().surface, options);
  CAPTURE(result.message);
  REQUIRE(result.done());
  CHECK(result.warnings.empty());
  CHECK(worst_table_point(camera_of(view), result.bench.camera) < 0.25);
}

TEST_CASE("a net's mark that is off is named and does not veto the lines") {
  const View& view = kViews[1];
  CalibrationOptions options = left_launcher();
  std::vector<std::string> names = kCorners;
  names.push_back("net_top_left");
  options.marks = named(marks_through(camera_of(view)), names);
  options.marks.back().picture_px.y() += 12;
  const auto result =
      calibrate_still(picture_of(view), profile().surface, options);
  CAPTURE(result.message);
  REQUIRE(result.done());
  REQUIRE(result.warnings.size() == 1);
  CHECK(result.warnings[0].find("net_top_left by 1") != std::string::npos);
  CHECK(worst_table_point(camera_of(view), result.bench.camera) < 0.25);
}

TEST_CASE("a wrong mark among many is left out and named") {
  const View& view = kViews[1];
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  CalibrationOptions options = left_launcher();
  options.marks = marks_through(camera_of(view));
  options.marks.resize(9);
  const std::string wrong = options.marks[4].name;
  options.marks[4].picture_px += Eigen::Vector2d(14, -9);
  const auto result = calibrate_still(dark, profile().surface, options);
  CAPTURE(result.message);
  REQUIRE(result.done());
  REQUIRE(result.warnings.size() == 1);
  CHECK(result.warnings[0].find("the mark " + wrong + " is 1") !=
        std::string::npos);
  CHECK(result.marks.size() == 8);
  CHECK((result.bench.camera.eye_in_table_m() - view.eye).norm() < 0.05);
}

TEST_CASE("marks may be as far off as they say themselves") {
  const View& view = kViews[1];
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  CalibrationOptions options = left_launcher();
  options.marks = marks_through(camera_of(view));
  for (std::size_t i = 0; i < options.marks.size(); ++i) {
    const double far = i % 2 == 0 ? 2.5 : -2.5;
    options.marks[i].picture_px +=
        Eigen::Vector2d(far, i % 3 == 0 ? -far : far);
  }
  CHECK(calibrate_still(dark, profile().surface, options).status ==
        CalibrationStatus::kBadFit);
  for (MarkedPoint& mark : options.marks) mark.sigma_px = 2.5;
  const auto result = calibrate_still(dark, profile().surface, options);
  CAPTURE(result.message);
  CHECK(result.done());
}

TEST_CASE("of half a table the net's feet stay when its top is off") {
  const View& view = kViews[2];
  CalibrationOptions options = left_launcher();
  options.marks = named(marks_through(camera_of(view)),
                        {"corner_far_left",
                         "corner_far_right",
                         "net_foot_left",
                         "net_foot_right",
                         "net_top_left",
                         "net_top_right"});
  for (std::size_t i = 4; i < 6; ++i) options.marks[i].picture_px.y() += 25;
  const auto result =
      calibrate_still(picture_of(view), profile().surface, options);
  CAPTURE(result.message);
  REQUIRE(result.done());
  REQUIRE(result.warnings.size() == 1);
  CHECK(result.warnings[0].find("net_top_left by 2") != std::string::npos);
  CHECK(result.warnings[0].find("net_foot") == std::string::npos);
  CHECK(worst_table_point(camera_of(view), result.bench.camera) < 0.25);
}

TEST_CASE("a dark picture is looked at as a longer exposure would show it") {
  const View& view = kViews[1];
  cv::Mat dark;
  picture_of(view).convertTo(dark, CV_8U, 0.08, 16 * (1 - 0.08));
  const auto result = calibrate_still(dark, profile().surface, left_launcher());
  CAPTURE(result.message);
  REQUIRE(result.done());
  CHECK(worst_table_point(camera_of(view), result.bench.camera) < 1);
}

TEST_CASE("the overlay's text is not cut off") {
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(0));
  CalibrationResult refused;
  const auto bright_rows = [&](const std::string& message) {
    refused.message = message;
    const cv::Mat drawn = draw_overlay(dark, profile().surface, refused);
    int rows = 0;
    for (int v = 0; v < drawn.rows; ++v) {
      rows += cv::countNonZero(drawn.row(v).reshape(1)) > 0;
    }
    return rows;
  };
  std::string words;
  for (int i = 0; i < 60; ++i) words += "letters ";
  CHECK(bright_rows(words) > 2 * bright_rows("letters"));
}

TEST_CASE("what was found says how well it explains the picture") {
  const CalibrationResult& result = result_of(kViews[1]);
  REQUIRE(result.done());
  REQUIRE(result.score);
  CHECK(result.score->total() > 20);
  CHECK(result.score->goes_on.empty());
  if (result.margin_nats) CHECK(*result.margin_nats > 3);
}

TEST_CASE("a camera through a lens that is not made is refused by name") {
  CameraModel fish = camera_of(kViews[1]);
  fish.lens = {150, 319.5, 179.5, 0, 0};  // 130 degrees across 640 px
  fish.camera_from_table = look_at({0.3, -0.9, 1.0}, {0, 0, 0}, {0, 1, 0}, 0);
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  CalibrationOptions options = left_launcher();
  options.launcher_end = LauncherEnd::kNotSaid;
  options.marks = marks_through(fish);
  REQUIRE(options.marks.size() > 12);
  const auto result = calibrate_still(dark, profile().surface, options);
  CHECK_FALSE(result.done());
  CHECK(result.message.find("degrees across the picture") != std::string::npos);
}

// A line across the middle, and a table that would end there.
TEST_CASE("a table is not taken for a shorter one whose lines go on") {
  Surface whole = table_tennis_surface();
  whole.net.present = false;
  whole.lines.push_back({"middle", {-0.02, -0.7625}, {0, 0.7625}});
  Surface shorter = whole;
  shorter.lines.clear();
  shorter.length_m = whole.length_m / 2;
  const double to_middle_m = shorter.length_m / 2;
  for (PaintedLine line : whole.lines) {
    if (line.low_m.x() >= 0) continue;  // the far end
    line.low_m.x() += to_middle_m;
    line.high_m.x() = std::min(line.high_m.x(), 0.0) + to_middle_m;
    shorter.lines.push_back(line);
  }
  DrawnTable look;
  look.samples = 8;
  const cv::Mat picture = draw_table(
      small_camera(480, {1.2, -2.3, 2.0}, {0, 0.1, 0}), whole, look, 5);
  const auto result = calibrate_still(picture, shorter, left_launcher());
  CAPTURE(result.message);
  CHECK_FALSE(result.done());
  CHECK(result.message.find("the lines go on beyond it") != std::string::npos);
}

// Photographs made 480 px wide left 8 mm at the table in 0.15 px, and landings
// 57 mm off, without a word.
TEST_CASE("a picture too coarse for its table is warned of") {
  CalibrationOptions options = left_launcher();
  const CalibrationResult& fine = result_of(kViews[1]);
  REQUIRE(fine.done());
  CHECK(fine.warnings.empty());
  options.limits.max_residual_m = 0.5e-3 * fine.bench.residual_mm;
  const auto coarse =
      calibrate_still(picture_of(kViews[1]), profile().surface, options);
  REQUIRE(coarse.done());
  REQUIRE(coarse.warnings.size() == 1);
  CHECK(coarse.warnings[0].find("film it nearer") != std::string::npos);
}
