// SPDX-License-Identifier: MIT
// The residuals of solve_camera(), written for automatic differentiation.
// Internal to vision/camera_solver.cpp. Parameter blocks: lens (focal_px, k1,
// k2, centre_u_px, centre_v_px), turn (angle-axis in the camera frame, after
// the start's rotation), translation (m).
#pragma once

#include "vision/camera_solver.h"

#include <cmath>

#include <Eigen/Core>
#include <ceres/rotation.h>

namespace evenfeed {

// What residuals share: the start's rotation.
struct SolveFrame {
  Eigen::Matrix3d start_rotation;

  template <typename T>
  Eigen::Matrix<T, 2, 1> project(
      const T* lens,
      const T* turn,
      const T* translation,
      const Eigen::Matrix<T, 3, 1>& x_in_table_m) const {
    const Eigen::Matrix<T, 3, 1> before =
        start_rotation.cast<T>() * x_in_table_m;
    Eigen::Matrix<T, 3, 1> after;
    ceres::AngleAxisRotatePoint(turn, before.data(), after.data());
    for (int i = 0; i < 3; ++i) after[i] += translation[i];
    LensModel<T> model;
    model.focal_px = lens[0];
    model.k1 = lens[1];
    model.k2 = lens[2];
    model.centre_u_px = lens[3];
    model.centre_v_px = lens[4];
    return model.project(after);
  }
};

struct CutResidual {
  SolveFrame frame;
  Eigen::Vector3d low_m, high_m;
  Eigen::Vector2d measured_px, normal;
  double sigma_px;

  template <typename T>
  bool operator()(const T* lens,
                  const T* turn,
                  const T* translation,
                  const T* line_offset,
                  T* residual) const {
    const auto low = frame.project<T>(lens, turn, translation, low_m.cast<T>());
    const auto high =
        frame.project<T>(lens, turn, translation, high_m.cast<T>());
    const T du = T(measured_px.x()) - (low.x() + high.x()) / 2.0;
    const T dv = T(measured_px.y()) - (low.y() + high.y()) / 2.0;
    residual[0] =
        (normal.x() * du + normal.y() * dv - line_offset[0]) / sigma_px;
    return true;
  }
};

// The net as a whole may stand and hang a little off: `shift_m` along x, z.
struct NetCutResidual {
  SolveFrame frame;
  Eigen::Vector3d seen_m;
  Eigen::Vector2d measured_px, normal;
  double sigma_px;

  template <typename T>
  bool operator()(const T* lens,
                  const T* turn,
                  const T* translation,
                  const T* shift_m,
                  T* residual) const {
    Eigen::Matrix<T, 3, 1> at = seen_m.cast<T>();
    at.x() += shift_m[0];
    at.z() += shift_m[1];
    const auto p = frame.project<T>(lens, turn, translation, at);
    residual[0] = (normal.x() * (T(measured_px.x()) - p.x()) +
                   normal.y() * (T(measured_px.y()) - p.y())) /
                  sigma_px;
    return true;
  }
};

struct NetPrior {
  double sigma_m;
  template <typename T>
  bool operator()(const T* shift_m, T* residual) const {
    residual[0] = shift_m[0] / sigma_m;
    residual[1] = shift_m[1] / sigma_m;
    return true;
  }
};

struct PointResidual {
  SolveFrame frame;
  MarkedPoint point;

  template <typename T>
  bool operator()(const T* lens,
                  const T* turn,
                  const T* translation,
                  T* residual) const {
    const auto p =
        frame.project<T>(lens, turn, translation, point.x_in_table_m.cast<T>());
    residual[0] = (T(point.picture_px.x()) - p.x()) / point.sigma_px;
    residual[1] = (T(point.picture_px.y()) - p.y()) / point.sigma_px;
    return true;
  }
};

struct LensPrior {
  CameraSolverOptions options;
  double width_px;
  Eigen::Vector2d centre_px;

  template <typename T>
  bool operator()(const T* lens, T* residual) const {
    using std::log;
    if (options.focal_px) {
      residual[0] = (lens[0] - options.focal_px->value) / options.focal_px->sd;
    } else {
      residual[0] = (log(lens[0] / width_px) - options.log_focal.value) /
                    options.log_focal.sd;
    }
    residual[1] = (lens[1] - options.k1.value) / options.k1.sd;
    residual[2] = (lens[2] - options.k2.value) / options.k2.sd;
    residual[3] = (lens[3] - centre_px.x()) / (options.centre_sd * width_px);
    residual[4] = (lens[4] - centre_px.y()) / (options.centre_sd * width_px);
    return true;
  }
};

// Eye height: z of -R^T t.
struct HeightPrior {
  SolveFrame frame;
  Expected height_m;

  template <typename T>
  bool operator()(const T* turn, const T* translation, T* residual) const {
    const T back[3] = {-turn[0], -turn[1], -turn[2]};
    T in_start[3];
    ceres::AngleAxisRotatePoint(back, translation, in_start);
    T z = T(0);
    for (int i = 0; i < 3; ++i) {
      z -= frame.start_rotation(i, 2) * in_start[i];
    }
    residual[0] = (z - height_m.value) / height_m.sd;
    return true;
  }
};

struct OffsetPrior {
  double sigma_px;
  template <typename T>
  bool operator()(const T* offset, T* residual) const {
    residual[0] = offset[0] / sigma_px;
    return true;
  }
};

}  // namespace evenfeed
