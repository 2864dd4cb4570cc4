// SPDX-License-Identifier: MIT
#include "calibration/centre_folding.h"

#include "calibration/plane_camera.h"

#include <Eigen/Eigenvalues>
#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("a shift of the principal point is carried as a turn of the camera") {
  CameraModel camera = plain_camera(1280, 720, 1000);
  camera.camera_from_table = look_at({0.2, -1.5, 2.4}, {0, 0, 0}, {0, 1, 0}, 0);
  FullCameraCovariance all = FullCameraCovariance::Zero();
  all(9, 9) = 4;  // 2 px in u alone
  const CameraCovariance folded = fold_centre(camera, {1.37, 0.76}, all);
  // One direction of uncertainty stays one direction.
  const Eigen::SelfAdjointEigenSolver<CameraCovariance> eigen(folded);
  const auto values = eigen.eigenvalues();
  CHECK(values[8] > 0);
  CHECK(std::abs(values[7]) < 1e-9 * values[8]);
  // And it moves points over the table by about 2 px in u.
  const Eigen::Matrix<double, kCameraParameters, 1> delta =
      eigen.eigenvectors().col(8) * std::sqrt(values[8]);
  int compared = 0;
  for (const double x : {-1.2, 0.0, 1.2}) {
    for (const double z : {0.0, 0.3}) {
      const Eigen::Vector3d at(x, 0.2, z);
      const Eigen::Vector2d shift =
          *moved_camera(camera, delta).project(at) - *camera.project(at);
      CHECK(std::abs(std::abs(shift.x()) - 2) < 0.3);
      CHECK(std::abs(shift.y()) < 0.3);
      ++compared;
    }
  }
  CHECK(compared == 6);
}

TEST_CASE("without uncertainty of the principal point nothing changes") {
  CameraModel camera = plain_camera(1280, 720, 1000);
  camera.camera_from_table = look_at({0.2, -1.5, 2.4}, {0, 0, 0}, {0, 1, 0}, 0);
  FullCameraCovariance all = FullCameraCovariance::Zero();
  all.diagonal().head<9>().setConstant(0.25);
  CHECK((fold_centre(camera, {1.37, 0.76}, all) -
         0.25 * CameraCovariance::Identity())
            .norm() < 1e-12);
}
