// SPDX-License-Identifier: MIT
#include "calibration/plausible_camera.h"

#include "support/table_camera.h"
#include "unit/calibration/small_view.h"

#include <cmath>
#include <limits>

#include <doctest/doctest.h>

using namespace evenfeed;

namespace {

// Uncertain by 0.3 % of the focal length, 5 mm of the eye and little else.
CameraCovariance well_known(const CameraModel& camera) {
  Eigen::Matrix<double, kCameraParameters, 1> sd;
  sd << 0.003 * camera.lens.focal_px, 1e-3, 1e-3,
      Eigen::Vector3d::Constant(1e-4), Eigen::Vector3d::Constant(5e-3);
  return sd.array().square().matrix().asDiagonal();
}

std::string why(const CameraModel& camera, const CameraCovariance& covariance) {
  return why_implausible(
      camera, covariance, covariance, table_tennis_surface());
}

bool names(const std::string& message, const char* words) {
  CAPTURE(message);
  return message.find(words) != std::string::npos &&
         message.find("--camera-height") != std::string::npos;
}

}  // namespace

TEST_CASE("a camera well known over the table is believed") {
  const CameraModel camera = table_camera({0.6, -1.8, 1.5}, 0);
  CHECK(why(camera, well_known(camera)).empty());
}

TEST_CASE("a camera known badly is refused by what is known badly") {
  const CameraModel camera = table_camera({0.6, -1.8, 1.5}, 0);
  CameraCovariance covariance = well_known(camera);
  covariance.bottomRightCorner<3, 3>() = 0.04 * Eigen::Matrix3d::Identity();
  CHECK(names(why(camera, covariance), "known to 200 mm only"));

  covariance = well_known(camera);
  covariance(0, 0) = std::pow(0.1 * camera.lens.focal_px, 2);
  CHECK(names(why(camera, covariance), "focal length is known to 10 % only"));

  covariance = well_known(camera);
  covariance.bottomRightCorner<3, 3>() = 9e-4 * Eigen::Matrix3d::Identity();
  CHECK(names(why(camera, covariance), "a landing on the receiving half"));

  covariance(0, 0) = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(why(camera, covariance).empty());
}

TEST_CASE("a table surely read may leave twice as much open, not more") {
  const CameraModel camera = table_camera({0.6, -1.8, 1.5}, 0);
  const auto why_surely = [&](double eye_sd_m, double focal_sd) {
    CameraCovariance marginal = well_known(camera);
    marginal.bottomRightCorner<3, 3>() =
        eye_sd_m * eye_sd_m * Eigen::Matrix3d::Identity();
    marginal(0, 0) = std::pow(focal_sd * camera.lens.focal_px, 2);
    return why_implausible(camera,
                           marginal,
                           well_known(camera),
                           table_tennis_surface(),
                           when_surely_read());
  };
  CHECK(why_surely(0.2, 0.1).empty());
  CHECK(names(why_surely(0.4, 0.1), "allowed 12 %"));
  CHECK(names(why_surely(0.2, 0.2), "focal length is known to 20 % only"));
}

TEST_CASE("lenses and places that cannot be are refused") {
  CameraModel camera = table_camera({0.6, -1.8, 1.5}, 0);
  camera.lens.focal_px = 128;
  CHECK(names(why(camera, well_known(camera)), "157 degrees"));
  camera.lens.focal_px = 50000;
  CHECK(names(why(camera, well_known(camera)), "1 degrees"));
  const CameraModel low = table_camera({0.6, -1.8, 0.05}, 0);
  CHECK(names(why(low, well_known(low)), "50 mm above the surface"));
  const CameraModel over = table_camera({0.6, -1.8, 19.4}, 0);
  CHECK(names(why(over, well_known(over)), "19400 mm above the surface"));
}

// Two halves that are not in one line were fitted by a lens of k1 = 0.55.
TEST_CASE("a lens that bends outward as none does is refused") {
  CameraModel camera = table_camera({0.6, -1.8, 1.5}, 0);
  const double r = camera.width_px / 2.0 / camera.lens.focal_px;
  camera.lens.k2 = 0;
  camera.lens.k1 = 0.1 / (r * r);
  CHECK(why(camera, well_known(camera)).empty());
  camera.lens.k1 = 0.4 / (r * r);
  CHECK(names(why(camera, well_known(camera)), "bend outward by 40 %"));
}

TEST_CASE("a lens that bends inward ever more steeply is refused") {
  CameraModel camera = table_camera({0.6, -1.8, 1.5}, 0);
  const double r = camera.width_px / 2.0 / camera.lens.focal_px;
  camera.lens.k1 = 0;
  for (const double levels_off : {-0.03, 0.15}) {
    camera.lens.k2 = levels_off / std::pow(r, 4);
    CHECK(why(camera, well_known(camera)).empty());
  }
  camera.lens.k2 = -0.12 / std::pow(r, 4);
  CHECK(names(why(camera, well_known(camera)), "by 12 % of r^4"));
}
