// SPDX-License-Identifier: MIT
// The residuals of solve_camera(). Internal to calibration/camera_solver.cpp.
// Parameter blocks: lens (LensValue), turn (angle-axis in the camera frame,
// after the start's rotation), translation (m), and what a line or the net may
// be off by.
#pragma once

#include "calibration/camera_jacobian.h"
#include "calibration/camera_solver.h"

#include <cmath>

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <ceres/sized_cost_function.h>

namespace evenfeed {

/// Of the first block.
enum LensValue { kFocal, kK1, kK2, kCentreU, kCentreV, kLensValues };

namespace residual_detail {

inline ProjectedPoint project(double const* const* blocks,
                              const Eigen::Matrix3d& start_rotation,
                              const Eigen::Vector3d& x_in_table_m) {
  using Vector5 = Eigen::Matrix<double, 5, 1>;
  return project_with_jacobian(Eigen::Map<const Vector5>(blocks[0]),
                               Eigen::Map<const Eigen::Vector3d>(blocks[1]),
                               Eigen::Map<const Eigen::Vector3d>(blocks[2]),
                               start_rotation,
                               x_in_table_m);
}

/// Writes rows of derivatives by the three camera blocks, where asked for.
template <int kRows>
void set_camera_rows(double** jacobians,
                     const Eigen::Matrix<double, kRows, 2>& by_px,
                     const ProjectedPoint& p,
                     bool add) {
  const auto put = [&](double* out, const auto& by) {
    constexpr int kCols = std::decay_t<decltype(by)>::ColsAtCompileTime;
    if (!out) return;
    const Eigen::Matrix<double, kRows, kCols> rows = by_px * by;
    for (int r = 0; r < kRows; ++r) {
      for (int c = 0; c < kCols; ++c) {
        double& cell = out[r * kCols + c];
        cell = add ? cell + rows(r, c) : rows(r, c);
      }
    }
  };
  put(jacobians[0], p.by_lens);
  put(jacobians[1], p.by_turn);
  put(jacobians[2], p.by_translation);
}

}  // namespace residual_detail

/// Distance along the cut from the middle of the projected line, less what
/// the whole line is off by.
class CutCost : public ceres::SizedCostFunction<1, 5, 3, 3, 1> {
 public:
  CutCost(const Eigen::Matrix3d& start_rotation,
          const SurfaceLine& line,
          const LineCut& cut,
          double sigma_px)
      : rotation_(start_rotation),
        low_m_(line.low_m(cut.along)),
        high_m_(line.high_m(cut.along)),
        measured_px_(cut.measured_px),
        weighted_normal_(cut.normal / sigma_px),
        sigma_px_(sigma_px) {}

  bool Evaluate(double const* const* blocks,
                double* residuals,
                double** jacobians) const override {
    const auto low = residual_detail::project(blocks, rotation_, low_m_);
    const auto high = residual_detail::project(blocks, rotation_, high_m_);
    residuals[0] = weighted_normal_.dot(measured_px_ - (low.px + high.px) / 2) -
                   blocks[3][0] / sigma_px_;
    if (!jacobians) return true;
    const Eigen::RowVector2d by_px = -weighted_normal_.transpose() / 2;
    residual_detail::set_camera_rows<1>(jacobians, by_px, low, false);
    residual_detail::set_camera_rows<1>(jacobians, by_px, high, true);
    if (jacobians[3]) jacobians[3][0] = -1 / sigma_px_;
    return true;
  }

 private:
  Eigen::Matrix3d rotation_;
  Eigen::Vector3d low_m_, high_m_;
  Eigen::Vector2d measured_px_, weighted_normal_;
  double sigma_px_;
};

/// The same for the net, which as a whole may stand and hang a little off:
/// the last block is its shift along x and z, m.
class NetCutCost : public ceres::SizedCostFunction<1, 5, 3, 3, 2> {
 public:
  NetCutCost(const Eigen::Matrix3d& start_rotation,
             const SurfaceLine& line,
             const LineCut& cut,
             double sigma_px)
      : rotation_(start_rotation),
        seen_m_(line.low_m(cut.along)),
        measured_px_(cut.measured_px),
        weighted_normal_(cut.normal / sigma_px) {}

  bool Evaluate(double const* const* blocks,
                double* residuals,
                double** jacobians) const override {
    const Eigen::Vector3d at =
        seen_m_ + Eigen::Vector3d(blocks[3][0], 0, blocks[3][1]);
    const auto p = residual_detail::project(blocks, rotation_, at);
    residuals[0] = weighted_normal_.dot(measured_px_ - p.px);
    if (!jacobians) return true;
    const Eigen::RowVector2d by_px = -weighted_normal_.transpose();
    residual_detail::set_camera_rows<1>(jacobians, by_px, p, false);
    if (jacobians[3]) {
      jacobians[3][0] = by_px.dot(p.by_point.col(0).transpose());
      jacobians[3][1] = by_px.dot(p.by_point.col(2).transpose());
    }
    return true;
  }

 private:
  Eigen::Matrix3d rotation_;
  Eigen::Vector3d seen_m_;
  Eigen::Vector2d measured_px_, weighted_normal_;
};

class PointCost : public ceres::SizedCostFunction<2, 5, 3, 3> {
 public:
  PointCost(const Eigen::Matrix3d& start_rotation, const MarkedPoint& point)
      : rotation_(start_rotation), point_(point) {}

  bool Evaluate(double const* const* blocks,
                double* residuals,
                double** jacobians) const override {
    const auto p =
        residual_detail::project(blocks, rotation_, point_.x_in_table_m);
    Eigen::Map<Eigen::Vector2d> r(residuals);
    r = (point_.picture_px - p.px) / point_.sigma_px;
    if (!jacobians) return true;
    residual_detail::set_camera_rows<2>(
        jacobians, -Eigen::Matrix2d::Identity() / point_.sigma_px, p, false);
    return true;
  }

 private:
  Eigen::Matrix3d rotation_;
  MarkedPoint point_;
};

/// What is known of the lens beforehand.
class LensPrior : public ceres::SizedCostFunction<kLensValues, kLensValues> {
 public:
  LensPrior(const CameraSolverOptions& options,
            double width_px,
            const Eigen::Vector2d& centre_px)
      : options_(options), width_px_(width_px), centre_px_(centre_px) {}

  bool Evaluate(double const* const* blocks,
                double* residuals,
                double** jacobians) const override {
    const double* lens = blocks[0];
    const double centre_sd = options_.centre_sd * width_px_;
    double slopes[kLensValues];
    if (options_.focal_px) {
      residuals[kFocal] =
          (lens[kFocal] - options_.focal_px->value) / options_.focal_px->sd;
      slopes[kFocal] = 1 / options_.focal_px->sd;
    } else {
      residuals[kFocal] =
          (std::log(lens[kFocal] / width_px_) - options_.log_focal.value) /
          options_.log_focal.sd;
      slopes[kFocal] = 1 / (lens[kFocal] * options_.log_focal.sd);
    }
    residuals[kK1] = (lens[kK1] - options_.k1.value) / options_.k1.sd;
    residuals[kK2] = (lens[kK2] - options_.k2.value) / options_.k2.sd;
    residuals[kCentreU] = (lens[kCentreU] - centre_px_.x()) / centre_sd;
    residuals[kCentreV] = (lens[kCentreV] - centre_px_.y()) / centre_sd;
    slopes[kK1] = 1 / options_.k1.sd;
    slopes[kK2] = 1 / options_.k2.sd;
    slopes[kCentreU] = slopes[kCentreV] = 1 / centre_sd;
    if (!jacobians || !jacobians[0]) return true;
    for (int row = 0; row < kLensValues; ++row) {
      for (int by = 0; by < kLensValues; ++by) {
        jacobians[0][row * kLensValues + by] = row == by ? slopes[row] : 0;
      }
    }
    return true;
  }

 private:
  CameraSolverOptions options_;
  double width_px_;
  Eigen::Vector2d centre_px_;
};

/// The eye's height above the surface, -(R^T t) z.
class HeightPrior : public ceres::SizedCostFunction<1, 3, 3> {
 public:
  HeightPrior(const Eigen::Matrix3d& start_rotation, const Expected& height_m)
      : up_in_start_(start_rotation.col(2)), height_m_(height_m) {}

  bool Evaluate(double const* const* blocks,
                double* residuals,
                double** jacobians) const override {
    const Eigen::Map<const Eigen::Vector3d> turn{blocks[0]};
    const Eigen::Map<const Eigen::Vector3d> t{blocks[1]};
    const RotatedVector up = rotate_with_jacobian(turn, up_in_start_);
    residuals[0] = (-up.value.dot(t) - height_m_.value) / height_m_.sd;
    if (!jacobians) return true;
    const Eigen::RowVector3d by_turn =
        -t.transpose() * up.by_turn / height_m_.sd;
    for (int i = 0; i < 3; ++i) {
      if (jacobians[0]) jacobians[0][i] = by_turn[i];
      if (jacobians[1]) jacobians[1][i] = -up.value[i] / height_m_.sd;
    }
    return true;
  }

 private:
  Eigen::Vector3d up_in_start_;
  Expected height_m_;
};

/// A zero-mean normal of kSize independent parts.
template <int kSize>
class ZeroPrior : public ceres::SizedCostFunction<kSize, kSize> {
 public:
  explicit ZeroPrior(double sigma) : sigma_(sigma) {}
  bool Evaluate(double const* const* blocks,
                double* residuals,
                double** jacobians) const override {
    for (int i = 0; i < kSize; ++i) residuals[i] = blocks[0][i] / sigma_;
    if (!jacobians || !jacobians[0]) return true;
    for (int i = 0; i < kSize * kSize; ++i) {
      jacobians[0][i] = i % (kSize + 1) == 0 ? 1 / sigma_ : 0;
    }
    return true;
  }

 private:
  double sigma_;
};

}  // namespace evenfeed
