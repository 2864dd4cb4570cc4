// SPDX-License-Identifier: MIT
#include "vision/bench_of_film.h"

#include "geometry/bench.h"
#include "support/table_camera.h"
#include "vision/calibration_files.h"

#include "unit/vision/drawn_table.h"
#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

const Surface& surface() {
  static const Surface table =
      load_calibration_profile(EVENFEED_ROOT "/profiles/table-tennis.toml")
          .surface;
  return table;
}

CameraModel camera_of_film() {
  CameraModel camera;
  camera.width_px = 640;
  camera.height_px = 360;
  camera.lens = {470, 321, 178, -0.06, 0.01};
  camera.camera_from_table =
      look_at({0.3, -1.3, 2.2}, {0.05, 0.02, 0}, {0, 1, 0}, 0.02);
  return camera;
}

const cv::Mat& film() {
  static const cv::Mat drawn = [] {
    DrawnTable look;
    look.samples = 8;
    return draw_table(camera_of_film(), surface(), look, 3);
  }();
  return drawn;
}

}  // namespace

TEST_CASE("the film's own bench is of it, and one knocked a little") {
  CHECK(why_not_of_film(film(), camera_of_film(), surface()).empty());
  Eigen::Matrix<double, kCameraParameters, 1> knock;
  knock << 0, 0, 0, 0.003, -0.004, 0.002, 0.003, -0.002, 0.002;
  const CameraModel knocked = moved_camera(camera_of_film(), knock);
  CHECK(why_not_of_film(film(), knocked, surface()).empty());
}

TEST_CASE("a bench that slid along the table is refused, and by how much") {
  const CameraModel slid = with_eye_shifted(camera_of_film(), {0.1, 0, 0});
  const std::string why = why_not_of_film(film(), slid, surface());
  CAPTURE(why);
  constexpr char kBefore[] = "shows the table ";
  const auto said = why.find(kBefore);
  REQUIRE(said != std::string::npos);
  const double off_mm = std::stod(why.substr(said + sizeof(kBefore) - 1));
  CHECK(off_mm > 80);
  CHECK(off_mm < 125);
}

TEST_CASE("a bench of another focal length is refused") {
  CameraModel longer = camera_of_film();
  longer.lens.focal_px *= 1.15;
  const std::string why = why_not_of_film(film(), longer, surface());
  CAPTURE(why);
  CHECK(why.find("focal length of about 4") != std::string::npos);
  CHECK(why.find("the bench has 540 px") != std::string::npos);
}

TEST_CASE("a picture that shows no table says nothing of the bench") {
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  CHECK(why_not_of_film(dark, camera_of_film(), surface()).empty());
}
