// SPDX-License-Identifier: MIT
#include "calibration/bench_of_film.h"

#include "geometry/bench.h"
#include "support/table_camera.h"
#include "unit/calibration/small_view.h"

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

CameraModel camera_of_film() {
  return small_camera(470, {0.3, -1.3, 2.2}, {0.05, 0.02, 0});
}

const cv::Mat& film() {
  static const cv::Mat drawn = finely_drawn(camera_of_film(), 3);
  return drawn;
}

}  // namespace

TEST_CASE("the film's own bench is of it, and one knocked a little") {
  CHECK(why_not_of_film(film(), camera_of_film(), table_tennis_surface())
            .empty());
  Eigen::Matrix<double, kCameraParameters, 1> knock;
  knock << 0, 0, 0, 0.003, -0.004, 0.002, 0.003, -0.002, 0.002;
  const CameraModel knocked = moved_camera(camera_of_film(), knock);
  CHECK(why_not_of_film(film(), knocked, table_tennis_surface()).empty());
}

TEST_CASE("a bench that slid along the table is refused, and by how much") {
  const CameraModel slid = with_eye_shifted(camera_of_film(), {0.1, 0, 0});
  const std::string why = why_not_of_film(film(), slid, table_tennis_surface());
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
  const std::string why =
      why_not_of_film(film(), longer, table_tennis_surface());
  CAPTURE(why);
  CHECK(why.find("focal length of about 4") != std::string::npos);
  CHECK(why.find("the bench has 540 px") != std::string::npos);
}

TEST_CASE("a picture that shows no table says nothing of the bench") {
  const cv::Mat dark(360, 640, CV_8U, cv::Scalar(40));
  CHECK(
      why_not_of_film(dark, camera_of_film(), table_tennis_surface()).empty());
}
