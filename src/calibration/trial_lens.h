// SPDX-License-Identifier: MIT
// A lens that is tried before anything is known of the true one: of 0.8 picture
// widths, with barrel distortion k1. Bent lines are no bars.
#pragma once

#include "geometry/camera_model.h"

#include <opencv2/core/mat.hpp>

namespace evenfeed {

/// The picture as a lens without distortion would show it.
[[nodiscard]] cv::Mat straightened(const cv::Mat& luma, double k1);

/// Gives `camera`, of a straightened picture, its distortion. k1 belongs to the
/// trial's focal length: r of another is in other units.
void bend(CameraModel& camera, double k1);

}  // namespace evenfeed
