// SPDX-License-Identifier: MIT
#include "calibration/centre_folding.h"

#include "stats/pivoted_qr.h"

#include <vector>

namespace evenfeed {

CameraCovariance fold_centre(const CameraModel& camera,
                             const Eigen::Vector2d& half_size_m,
                             const FullCameraCovariance& all) {
  const double steps[kCameraParameters] = {
      1e-2, 1e-5, 1e-5, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6, 1e-6};
  std::vector<Eigen::Vector3d> block;
  for (const double x : {-1.0, -0.5, 0.0, 0.5, 1.0}) {
    for (const double y : {-1.0, 0.0, 1.0}) {
      for (const double z : {0.0, 0.15, 0.4}) {
        const Eigen::Vector3d at{x * half_size_m.x(), y * half_size_m.y(), z};
        const auto p = camera.project(at);
        if (p && camera.in_picture(*p, -0.1 * camera.width_px)) {
          block.push_back(at);
        }
      }
    }
  }
  Eigen::MatrixXd nine(2 * block.size(), kCameraParameters);
  Eigen::MatrixXd centre(2 * block.size(), 2);
  const auto moved = [&](const Eigen::Vector3d& x, int i, double step) {
    Eigen::Matrix<double, kCameraParameters, 1> delta;
    delta.setZero();
    delta[i] = step;
    return moved_camera(camera, delta).project(x);
  };
  for (std::size_t row = 0; row < block.size(); ++row) {
    centre.block<2, 2>(2 * row, 0).setIdentity();
    for (int i = 0; i < kCameraParameters; ++i) {
      const auto a = moved(block[row], i, -steps[i]);
      const auto b = moved(block[row], i, steps[i]);
      nine.block<2, 1>(2 * row, i).setZero();
      if (a && b) nine.block<2, 1>(2 * row, i) = (*b - *a) / (2 * steps[i]);
    }
  }
  Eigen::Matrix<double, kCameraParameters, 11> fold;
  fold.setZero();
  fold.leftCols<kCameraParameters>().setIdentity();
  if (block.size() >= 6) {
    fold.rightCols<2>() = solve_pivoted_columns(nine, centre);
  }
  return fold * all * fold.transpose();
}

}  // namespace evenfeed
