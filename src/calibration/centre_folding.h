// SPDX-License-Identifier: MIT
// A bench carries the uncertainty of nine camera parameters; a calibration
// solves eleven. The principal point's two are carried by the nine: a shift of
// it becomes the change of the nine that moves the picture of a block of space
// over the table most nearly alike, by least squares.
#pragma once

#include "geometry/bench.h"

#include <Eigen/Core>

namespace evenfeed {

/// Nine parameters of moved_camera(), then the principal point's u and v.
using FullCameraCovariance = Eigen::Matrix<double, 11, 11>;

/// The block reaches `half_size_m` to both sides in x and y, and 0.4 m up.
CameraCovariance fold_centre(const CameraModel& camera,
                             const Eigen::Vector2d& half_size_m,
                             const FullCameraCovariance& all);

}  // namespace evenfeed
